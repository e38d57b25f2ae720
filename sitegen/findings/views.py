"""What the findings are, as plain frozen data that pages and figures show.

Everything here is a number, a text, a tuple or another of these, so that it can be
stored and compared. Dates are ISO texts. ``None`` means: not measured, or not known.
Codes are words for machines; pages turn them into sentences.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Validity = Literal["rated", "notes", "not_rated"]
Grade = Literal[
    "below", "consistent", "above", "cannot-tell", "not-same-quantity", "no-unit"
]


@dataclass(frozen=True, slots=True)
class Interval:
    """A value with its 95 % interval.

    Attributes:
        value: the value.
        low: lower limit.
        high: upper limit.
    """

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class ResultRow:
    """One row of ``results.csv``: a configuration under a method, for a fraction.

    The fields are ``RESULT_COLUMNS`` in their order. Units: m³/h, 1/h, min, dB(A),
    W, kWh, the archive's currency.
    """

    device: str
    filter: str
    speed: str
    method: str
    fraction: str
    runs: int
    run_ids: tuple[str, ...]
    validity: Validity
    flags: tuple[str, ...]
    cadr_m3h: float | None = None
    cadr_low: float | None = None
    cadr_high: float | None = None
    cadr_basis: str = ""
    decay_per_h: float | None = None
    natural_per_h: float | None = None
    clearance_min: float | None = None
    clearance_low: float | None = None
    clearance_high: float | None = None
    clearance_basis: str = ""
    sound_dba: float | None = None
    sound_low: float | None = None
    sound_high: float | None = None
    sound_limit: str = ""
    sound_method: str = ""
    power_w: float | None = None
    power_sd: float | None = None
    power_method: str = ""
    cadr_per_w: float | None = None
    energy_kwh_year: float | None = None
    energy_cost_year: float | None = None
    filter_cost_year: float | None = None
    running_cost_year: float | None = None
    ownership_cost: float | None = None
    currency: str = ""
    rank_low: int | None = None
    rank_high: int | None = None
    ranked_of: int | None = None
    address: str = ""

    @property
    def configuration(self) -> str:
        """The configuration, as ``DEVICE.FILTER.SPEED``."""
        return f"{self.device}.{self.filter}.{self.speed}"

    @property
    def key(self) -> str:
        """Configuration, method and fraction: what releases, too, call a result."""
        return f"{self.configuration} {self.method} {self.fraction}"


@dataclass(frozen=True, slots=True)
class RunRow:
    """One row of ``runs.csv``: a run × instrument × fraction, or ``all`` together.

    The fields are ``RUN_COLUMNS`` in their order.
    """

    run: str
    kind: str
    device: str
    filter: str
    speed: str
    method: str
    date: str
    status: str
    validity: Validity
    instrument: str
    fraction: str
    points: int
    window_start_min: float | None = None
    window_end_min: float | None = None
    zero_offset: float | None = None
    decay_per_h: float | None = None
    decay_sd_per_h: float | None = None
    decay_low: float | None = None
    decay_high: float | None = None
    plain_decay_per_h: float | None = None
    plain_se_per_h: float | None = None
    r_squared: float | None = None
    natural_per_h: float | None = None
    natural_sd_per_h: float | None = None
    cadr_m3h: float | None = None
    cadr_low: float | None = None
    cadr_high: float | None = None
    flags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One row of ``readings.csv``: a single sound or power reading.

    The fields are ``READING_COLUMNS``; ``what`` is ``device``, ``background`` or
    ``standby``; ``position`` counts from 1.
    """

    run: str
    kind: str
    device: str
    specimen: str
    filter: str
    speed: str
    method: str
    date: str
    status: str
    what: str
    position: int
    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class FlagView:
    """The outcome of one quality check of a run.

    Attributes:
        code: code of the rule (measurement notes §1.4).
        raised: whether the limit was passed.
        value: what was measured, or nothing when the check does not apply.
        limit: the limit that it is held against.
        unit: unit of both; empty for a plain number.
        validity: what a raised flag makes of the run.
        decide: whether the tester is asked to decide.
        decided: whether the record holds a decision.
        instrument: the instrument concerned; empty when it is the whole run.
        about: which case of the rule it is, a code such as ``humidity``, or ``""``.
        at_min: when it was, elapsed minutes, or nothing.
    """

    code: str
    raised: bool
    value: float | None
    limit: float | None
    unit: str
    validity: Validity
    decide: bool
    decided: bool = False
    instrument: str = ""
    about: str = ""
    at_min: float | None = None


@dataclass(frozen=True, slots=True)
class SensorCurve:
    """What one instrument read of one fraction.

    Attributes:
        instrument: its id.
        values: readings as logged, shape (n,); ``None`` where missing.
        zero_offset: what it reads in clean air, in the unit of its readings.
        start: its fitted reading less the zero offset at the window's start, or
            nothing when it is not in the fit.
    """

    instrument: str
    values: tuple[float | None, ...]
    zero_offset: float = 0.0
    start: float | None = None


@dataclass(frozen=True, slots=True)
class RunCurve:
    """One fraction of a run, for drawing.

    Attributes:
        fraction: size fraction.
        unit: unit of the readings.
        elapsed_min: elapsed time, minutes, shape (n,).
        sensors: what each instrument read.
        combined: sensor-mean level relative to the fitted level at the window's
            start (1 there), shape (n,); nought where no sensor read above its zero,
            ``None`` where missing.
        residuals: ln-residuals inside the window, shape (n,), ``None`` outside.
        start_min: first minute of the fitted part.
        end_min: last minute of the fitted part.
        decay_per_h: fitted decay rate, 1/h; ``None`` when nothing could be fitted.
        decay_low: lower limit of its 95 % interval.
        decay_high: upper limit of its 95 % interval.
        target: share of the start level that counts as cleared.
        nonpositive: how many readings could not be drawn on a log axis.
    """

    fraction: str
    unit: str
    elapsed_min: tuple[float, ...]
    sensors: tuple[SensorCurve, ...]
    combined: tuple[float | None, ...]
    residuals: tuple[float | None, ...]
    start_min: float
    end_min: float
    decay_per_h: float | None
    decay_low: float | None
    decay_high: float | None
    target: float
    nonpositive: int = 0


@dataclass(frozen=True, slots=True)
class Clearance:
    """How long until the target share was left.

    Attributes:
        minutes: the time, or nothing when it was not reached.
        low: lower limit of the 95 % interval.
        high: upper limit of the 95 % interval.
        basis: ``observed``, ``modelled`` or ``not-reached``.
        within_min: for ``not-reached``: how long was watched.
        lowest: for ``not-reached``: the lowest share that was seen.
    """

    minutes: float | None
    low: float | None
    high: float | None
    basis: Literal["observed", "modelled", "not-reached"]
    within_min: float | None = None
    lowest: float | None = None


@dataclass(frozen=True, slots=True)
class DecayReport:
    """What was found in one decay or natural-decay run.

    Attributes:
        run: id of the run.
        kind: ``decay`` or ``natural-decay``.
        validity: worst validity of all raised flags.
        error: code of why nothing could be fitted, or ``""``.
        rows: rows of ``runs.csv``.
        flags: every check, raised or not.
        clearance: for a decay run, of the primary fraction.
        natural_runs: ids of the natural decays subtracted.
        window_start_rule: code of what decided the start of the fitted part.
        window_end_rule: code of what decided its end.
    """

    run: str
    kind: str
    validity: Validity
    error: str
    rows: tuple[RunRow, ...]
    flags: tuple[FlagView, ...]
    clearance: Clearance | None
    natural_runs: tuple[str, ...]
    window_start_rule: str
    window_end_rule: str


@dataclass(frozen=True, slots=True)
class Place:
    """Where one number stands in its comparable set.

    Attributes:
        quantity: name of the quantity.
        value: the number.
        low: best rank that it may hold.
        high: worst rank that it may hold.
        of: how many are ranked.
        least: smallest number of the set.
        most: largest number of the set.
        better: direction in which a larger number is better.
        set: name of the comparable set: method family, sound or power method.
    """

    quantity: str
    value: float
    low: int
    high: int
    of: int
    least: float
    most: float
    better: Literal["up", "down"]
    set: str = ""


@dataclass(frozen=True, slots=True)
class QuietPick:
    """The best CADR at or under the quiet cap.

    Attributes:
        cap_dba: the cap.
        row: the row picked, or nothing.
        near: whether its level is within its uncertainty of the cap.
        quietest_dba: for no pick: the quietest level tested, or nothing.
        reason: for no pick: ``none_quiet_enough``, ``quiet_speed_not_tested`` (a level
            at or under the cap, without a CADR) or ``no_levels``; else ``""``.
    """

    cap_dba: float
    row: ResultRow | None
    near: bool
    quietest_dba: float | None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in the archive's currency, and where it comes from.

    Attributes:
        amount: in the archive's currency, main unit.
        currency: the archive's currency.
        original: amount as recorded.
        original_currency: currency as recorded.
        date: day of the price.
        rate: the exchange rate used; 1 when there was none to use.
        rate_date: day of the rate, or ``""``.
        rate_source: where the rate comes from, or ``""``.
    """

    amount: float
    currency: str
    original: float
    original_currency: str
    date: str
    rate: float
    rate_date: str
    rate_source: str = ""


@dataclass(frozen=True, slots=True)
class FilterCost:
    """What one filter position costs a year.

    Attributes:
        filter: id of the filter.
        pieces: pieces replaced at once.
        piece: price of one piece, or nothing.
        interval_months: months between replacements, or nothing.
        basis: ``stated``, ``assumed``, ``measured`` or ``""``.
        range_months: shortest and longest plausible, months, or nothing.
        year: cost a year, or nothing.
        included: whether the first comes with the device; if not, it is part of the
            price.
        life_h: running hours between replacements, where the lifetime is given so.
        life_range: shortest and longest plausible, in months or running hours as the
            lifetime is, or nothing.
    """

    filter: str
    pieces: int
    piece: Money | None
    interval_months: float | None
    basis: str
    year: float | None
    included: bool = True
    range_months: tuple[float, float] | None = None
    life_h: float | None = None
    life_range: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Standby:
    """Power while off but plugged in.

    Attributes:
        power_w: mean of the readings, W.
        below_w: the meter's resolution, W, where the mean does not reach it, so that
            no more than this bound is known; else nothing.
    """

    power_w: float
    below_w: float | None = None


@dataclass(frozen=True, slots=True)
class CostEnds:
    """The cheap and the dear end of costs; nothing where all inputs are exact figures.

    Attributes:
        energy_kwh_year: of the energy a year.
        energy_cost_year: of its cost.
        filter_cost_year: of the filters a year.
        running_cost_year: of both.
        ownership_cost: of the ownership.
        per_1000_m3: of 1,000 m³ of cleaned air.
    """

    energy_kwh_year: tuple[float, float] | None = None
    energy_cost_year: tuple[float, float] | None = None
    filter_cost_year: tuple[float, float] | None = None
    running_cost_year: tuple[float, float] | None = None
    ownership_cost: tuple[float, float] | None = None
    per_1000_m3: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class CostView:
    """A year's cost and the cost of ownership of one configuration.

    Attributes:
        configuration: ``DEVICE.FILTER.SPEED``.
        power_w: power while running, W, or nothing.
        standby: power while off, or nothing.
        energy_kwh_year: energy a year, kWh.
        energy_cost_year: its cost.
        filters: the filter part.
        filter_cost_year: sum of the filter part.
        running_cost_year: energy and filters.
        price: what the device costs, all parts together, with the first filter where
            that is bought apart.
        price_parts: the parts: kind and amount.
        ownership_cost: price and running for the years assumed.
        per_1000_m3: ownership per 1,000 m³ of cleaned air.
        years: years assumed.
        missing: codes of what is missing for a full reckoning.
        ends: the cheap and the dear end of each cost.
        days: oldest and newest day of the prices and the tariff, where they are more
            than a year apart, else nothing.
        rate_apart: most days between a price and the rate that converts it, where a
            rate is stale, else nothing.
        power_sd_w: standard deviation of the power's readings, W, or nothing.
        clean: clean air that 1,000 m³ are reckoned with, m³/h, told from zero; or
            nothing.
    """

    configuration: str
    power_w: float | None
    standby: Standby | None
    energy_kwh_year: float | None
    energy_cost_year: float | None
    filters: tuple[FilterCost, ...]
    filter_cost_year: float | None
    running_cost_year: float | None
    price: float | None
    price_parts: tuple[tuple[str, Money], ...]
    ownership_cost: float | None
    per_1000_m3: float | None
    years: int
    missing: tuple[str, ...]
    ends: CostEnds = CostEnds()
    days: tuple[str, str] | None = None
    rate_apart: int | None = None
    power_sd_w: float | None = None
    clean: Interval | None = None


@dataclass(frozen=True, slots=True)
class Nearby:
    """What was measured near a claim that cannot be judged; it is never graded.

    Attributes:
        quantity: ``air_changes`` that a claimed floor would have, ``sound_dba``,
            ``clearance_min``, ``airflow_m3h`` or ``filter_life``.
        value: the number with its interval: 1/h, dB(A), min, m³/h; for a life the
            figure that costs are reckoned with.
        configuration: at which setting, or ``""``.
        at: what it holds for: ceiling, m; distance from the device, m; volume of the
            test room, m³; else 0.
        share: for a clearance time: the share of the start that was left; else 0.
        note: position of the meter; how a clearance time came about; what a life
            rests on; else ``""``.
        limit: ``at_most`` where a level is only an upper bound, else ``""``.
        unit: of a life, ``months`` or ``hours``; else ``""``.
    """

    quantity: str
    value: Interval
    configuration: str = ""
    at: float = 0.0
    share: float = 0.0
    note: str = ""
    limit: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class ClaimView:
    """One claim, or one figure of a directory, against measurement.

    Attributes:
        quantity: what it is about.
        text: the claim as written, or value and unit.
        value: the figure.
        unit: its unit, or ``unstated``.
        aerosol: the aerosol that it names.
        speed: the speed that it is for.
        source: where it stands.
        url: address of the source, or ``""``.
        seen: day on which it was read, or ``""``.
        measured: what was measured, in the unit of the claim, or nothing.
        measured_row: configuration and method measured, or ``""``.
        ratio: measured divided by claimed, or nothing.
        grade: the outcome.
        reason: code of why it is not the same quantity, or ``""``.
        nearby: what was measured near it, or nothing.
        conversions: for a claim without a unit: value in m³/h by assumed unit.
    """

    quantity: str
    text: str
    value: float
    unit: str
    aerosol: str
    speed: str
    source: str
    url: str
    seen: str
    measured: Interval | None
    measured_row: str
    ratio: Interval | None
    grade: Grade
    conversions: tuple[tuple[str, float], ...] = ()
    reason: str = ""
    nearby: Nearby | None = None


@dataclass(frozen=True, slots=True)
class Labels:
    """The names by which a device and its parts are shown.

    Attributes:
        id: id of the device.
        name: its name.
        maker: its maker.
        form: its form.
        speeds: speed id and label, quietest first.
        filters: filter id and name, as listed.
        held: whether it is held (preview only).
        withdrawn: whether it is withdrawn.
    """

    id: str
    name: str
    maker: str
    form: str
    speeds: tuple[tuple[str, str], ...]
    filters: tuple[tuple[str, str], ...]
    held: bool
    withdrawn: bool


@dataclass(frozen=True, slots=True)
class Card:
    """A device in a few numbers, for lists.

    Attributes:
        labels: its names.
        headline: the row with the highest CADR under the newest method, or nothing.
        quiet: the best under the quiet cap.
        price: what it costs, or nothing.
        acquired: ways in which its specimens were acquired.
        standing: the verdict's standing, or ``""``.
        photo: file and alternative text of the first photograph, or nothing.
        tested: day of the newest run, or ``""``.
    """

    labels: Labels
    headline: ResultRow | None
    quiet: QuietPick
    price: float | None
    acquired: tuple[str, ...]
    standing: str
    photo: tuple[str, str] | None
    tested: str


@dataclass(frozen=True, slots=True)
class Pair:
    """Two rows of a comparison held against each other.

    Attributes:
        first: configuration.
        second: configuration.
        ratio: CADR of the first divided by the second's, with its interval.
        p_adjusted: Holm-adjusted p of no difference.
        apart: whether they can be told apart at 5 %.
        alike: whether their ratio's whole interval is too near 1 to matter.
    """

    first: str
    second: str
    ratio: Interval
    p_adjusted: float
    apart: bool
    alike: bool = False


@dataclass(frozen=True, slots=True)
class ComparisonFinding:
    """What a named comparison finds.

    Attributes:
        rows: the rows compared, best CADR first, missing last.
        dropped: configurations asked for that have no result.
        pairs: every pair with a CADR under comparable methods.
        mixed_methods: whether the rows rest on methods not declared comparable.
        leader_only: whether, for there are many, only the row with the most clean air
            is held against each of the others.
    """

    rows: tuple[ResultRow, ...]
    dropped: tuple[str, ...]
    pairs: tuple[Pair, ...]
    mixed_methods: bool
    leader_only: bool = False


@dataclass(frozen=True, slots=True)
class FinderPick:
    """One configuration that serves a room.

    Attributes:
        row: the configuration.
        units: how many of it are needed.
        sound_dba: level of all units together, or nothing.
        first_cost: price of all units, or nothing.
        running_cost_year: of all units, or nothing.
        owning_cost_year: that with a year's share of the price, or nothing.
        running_ends: cheap and dear end of the running cost, or nothing.
        owning_ends: cheap and dear end of that with its share of the price, or nothing.
        near_cap: whether their level may be over the cap within its uncertainty.
    """

    row: ResultRow
    units: int
    sound_dba: float | None
    first_cost: float | None
    running_cost_year: float | None
    owning_cost_year: float | None = None
    running_ends: tuple[float, float] | None = None
    owning_ends: tuple[float, float] | None = None
    near_cap: bool = False


@dataclass(frozen=True, slots=True)
class FinderAnswer:
    """What serves a room of one size, at the archive's assumptions.

    Attributes:
        area_m2: floor area.
        volume_m3: volume at the archive's ceiling height.
        needed_m3h: clean air wanted: target air changes times volume.
        picks: a few configurations, quiet ones with the lowest cost first.
    """

    area_m2: float
    volume_m3: float
    needed_m3h: float
    picks: tuple[FinderPick, ...]
