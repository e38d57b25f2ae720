"""The manual for testers: served beside the preview and never published.

Its text ships in ``content/manual/``. What can be made from the tool itself is: the
fields of records from their models, the checks from their table, the cautions from
the texts that stand on the pages.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from html import escape
from pathlib import Path

from sitegen.archive_build import shipped_folder
from sitegen.errors import MachineFault
from sitegen.model import KINDS
from sitegen.pages.cautions import CODES, caution_from
from sitegen.pages.flag_words import flag_word
from sitegen.pages.markdown import linked, parse_prose
from sitegen.pages.words import ENGLISH
from sitegen.preview.desk_frame import DeskLink, DeskPage, framed
from sitegen.preview.manual_fields import (
    FieldSaid,
    ModelSaid,
    manual_kinds,
    models_said,
)
from sitegen.preview.manual_rules import RULES, Rule

MANUAL = "manual"
_ROOT = f"/_desk/{MANUAL}/"
# In the order in which they are read, each with what it is for. The heading of each
# file is its title.
CHAPTERS: Mapping[str, str] = {
    "run-a-test": "Before, during and after a run, and how many repeats.",
    "records": "What each kind of record may say, with units and examples.",
    "checks": "Every quality check with its limit, and what to look at.",
    "results": "Formulas and sources of every number, from the rate to the rank.",
    "publishing": "Check, look, compile, release, upload; films and their texts.",
    "correcting": "Errors, bad runs, repeats, new methods, makers who disagree.",
    "addresses": "Choosing ids, renaming, taking away, so that no link dies.",
    "cautions": "What can hurt people and rooms, as your pages say it.",
}
_EFFECTS: Mapping[str, str] = {
    "notes": "The run counts, with a note.",
    "not_rated": "The run is not rated.",
    "either": "The run counts with a note, or is not rated, as said.",
}
# What `start` puts in place of these words.
_EXAMPLES: Mapping[str, str] = {
    "NAME": '"Harbour bench"',
    "ADDRESS": '"https://harbour.example/"',
    "CURRENCY": "EUR",
    "LANGUAGE": "en",
    "UNITS": "metric",
    "ROOM": '"Net store"',
    "VOLUME": "31.5",
    "FLOOR": "12.6",
    "HEIGHT": "2.5",
    "COUNTERS": "counter-a",
    "COUNTER": '"Counter A"',
}


@dataclass(frozen=True, slots=True)
class _Text:
    """A chapter's text.

    Attributes:
        title: its heading.
        html: all but the heading.
    """

    title: str
    html: str


def manual_pages() -> dict[str, Callable[[], str]]:
    """Return what makes each page of the manual, by its name below ``/_desk/``."""
    pages: dict[str, Callable[[], str]] = {MANUAL: _contents}
    for name in CHAPTERS:
        pages[f"{MANUAL}/{name}"] = partial(_chapter, name)
    for kind in manual_kinds():
        pages[f"{MANUAL}/records/{kind}"] = partial(_record, kind)
    return pages


def _read(name: str) -> _Text:
    """Return a text of the manual; made anew each time, so that editing shows."""
    path = Path("manual") / f"{name}.md"
    prose = parse_prose((shipped_folder("content") / path).read_bytes(), str(path))
    if prose.faults:
        raise MachineFault(f"the manual's {name} is damaged; install the tool anew")
    parts = linked(prose, lambda target: f"{_ROOT}{target.removeprefix('page:')}/")
    html = "".join(part.html for part in parts)
    # Tables scroll inside a frame of their own, as everywhere on the site.
    html = re.sub(
        r"<table>.*?</table>",
        lambda found: _framed(found[0], prose.title),
        html,
        flags=re.DOTALL,
    )
    # What scrolls can be reached by keyboard.
    return _Text(prose.title, html.replace("<pre>", '<pre tabindex="0">'))


def _framed(table: str, label: str) -> str:
    named = f'aria-label="{escape(label)}"'
    inner = table.replace("<table>", f"<table {named}>", 1)
    return f'<div class="frame texts" role="group" tabindex="0" {named}>{inner}</div>'


def _shell(title: str, body: str, trail: tuple[tuple[str, str], ...], name: str) -> str:
    chapters = tuple(
        DeskLink(_read(each).title, f"{_ROOT}{each}/", current=each == name)
        for each in CHAPTERS
    )
    here = "" if name else MANUAL
    return framed(DeskPage(title, body, here, trail, chapters))


def _lead(title: str, html: str = "") -> str:
    return f'<header class="lead">\n<h1>{escape(title)}</h1>\n{html}</header>\n'


def _section(anchor: str, title: str, aside: str, html: str) -> str:
    said = f"<p>{aside}</p>" if aside else ""
    return (
        f'<section class="row" aria-labelledby="{anchor}"><header>'
        f'<h2 id="{anchor}">{escape(title)}</h2>{said}</header>\n'
        f'<div class="says">\n{html}\n</div></section>'
    )


def _contents() -> str:
    text = _read("index")
    rows = "".join(
        f'<div><dt><a href="{_ROOT}{name}/">{escape(_read(name).title)}</a></dt>'
        f"<dd>{escape(about)}</dd></div>\n"
        for name, about in CHAPTERS.items()
    )
    body = _lead(text.title, text.html) + f'<dl class="facts">\n{rows}</dl>'
    return _shell(text.title, body, (), "")


def _chapter(name: str) -> str:
    text = _read(name)
    more = {"records": _kinds, "checks": _checks, "cautions": _cautions}.get(name)
    if more is None:
        body = f'<article class="prose">{_lead(text.title)}{text.html}</article>'
    else:
        body = f"{_lead(text.title, text.html)}{more()}"
    return _shell(text.title, f"{body}{_onward(name)}", _TRAIL, name)


_TRAIL = (("Manual", _ROOT),)


def _onward(name: str) -> str:
    names = list(CHAPTERS)
    at = names.index(name) + 1
    if at == len(names):
        return ""
    to = names[at]
    return (
        f'\n<p class="small">Next chapter: <a href="{_ROOT}{to}/">'
        f"{escape(_read(to).title)}</a></p>"
    )


def _kinds() -> str:
    rows = []
    for kind in manual_kinds():
        model = models_said(kind)[0]
        path = _folder(kind)
        rows.append(
            f'<div><dt><a href="{_ROOT}records/{kind}/">{kind.capitalize()}</a></dt>'
            f"<dd>{_said(_of_kind(kind, model))}"
            f"<small><code>{path}</code></small></dd></div>"
        )
    return f'<dl class="facts">\n{"".join(rows)}\n</dl>'


def _of_kind(kind: str, first: ModelSaid) -> str:
    """Return what a kind is, in a sentence; of one that has several forms, which."""
    if kind in {"run", "method"}:
        forms = [one.title.removeprefix("kind: ") for one in _forms(kind)]
        what = "A run" if kind == "run" else "A method"
        return f"{what}: {', '.join(forms)}."
    return first.means.partition("\n")[0]


def _forms(kind: str) -> list[ModelSaid]:
    return [one for one in models_said(kind) if one.title.startswith("kind: ")]


def _folder(kind: str) -> str:
    if kind == "archive":
        return "archive.yaml"
    if kind == "addresses":
        return "records/addresses.yaml"
    return f"records/{KINDS[kind].folder}/ID.yaml"


def _record(kind: str) -> str:
    models = models_said(kind)
    title = "Settings of the archive" if kind == "archive" else kind.capitalize()
    head = f"<p>{_said(_of_kind(kind, models[0]))} <code>{_folder(kind)}</code></p>\n"
    example = _example(kind)
    if example:
        head += (
            "<details><summary>An example, as <code>sitegen start</code> writes it"
            f'</summary><pre tabindex="0"><code>{escape(example)}</code></pre>'
            "</details>\n"
        )
    sections = [
        _section(
            model.anchor,
            "Fields"
            if at == 0 and not model.title.startswith("kind: ")
            else model.title,
            "" if model.means == models[0].means and at == 0 else _said(model.means),
            f'<dl class="facts">\n{"".join(map(_field, model.fields))}</dl>',
        )
        for at, model in enumerate(models)
    ]
    trail = (*_TRAIL, (_read("records").title, f"{_ROOT}records/"))
    return _shell(title, _lead(title, head) + "\n".join(sections), trail, "records")


def _field(field: FieldSaid) -> str:
    must = ' <b class="warns">required</b>' if field.required else ""
    takes = escape(field.takes)
    if field.part:
        takes = f'<a href="#{field.part}">{takes}</a>'
    return (
        f"<div><dt><code>{escape(field.name)}</code>{must}</dt>"
        f"<dd>{_said(field.means)}<small>{takes}</small></dd></div>\n"
    )


def _said(text: str) -> str:
    """Return a model's sentence as HTML, what it quotes as code."""
    return re.sub(r"``(.+?)``", r"<code>\1</code>", escape(text))


def _example(kind: str) -> str:
    """Return the example of a kind that a new archive begins with, or ``""``."""
    start = shipped_folder("content") / "start"
    if kind in {"archive", "addresses"}:
        paths = [start / _folder(kind)]
    else:
        paths = sorted((start / "records" / KINDS[kind].folder).glob("*.yaml"))
    if not paths:
        return ""
    text = paths[0].read_text(encoding="utf-8")
    return re.sub(r"START-([A-Z]+)", lambda word: _EXAMPLES[word[1]], text).strip()


def _checks() -> str:
    rows = "".join(map(_rule, RULES))
    return f'<dl class="facts">\n{rows}</dl>'


def _rule(rule: Rule) -> str:
    word = flag_word(ENGLISH, rule.code)
    effect = _EFFECTS[rule.effect]
    decide = " <b>Decide.</b>" if rule.decide else ""
    short = f"{word.short[:1].upper()}{word.short[1:]}"
    return (
        f'<div id="{rule.code}"><dt><code>{rule.code}</code> {escape(short)}</dt>'
        f"<dd>{escape(word.meaning)}"
        f"<small><b>Limit:</b> {escape(rule.said)} {effect}{decide}</small>"
        f"<small><b>Look at:</b> {escape(rule.look)}</small></dd></div>\n"
    )


def _cautions() -> str:
    folder = shipped_folder("content") / "cautions" / "en"
    found = [caution_from((folder / f"{code}.md").read_bytes(), code) for code in CODES]
    return "\n".join(
        _section(caution.code, caution.title, "", caution.html) for caution in found
    )
