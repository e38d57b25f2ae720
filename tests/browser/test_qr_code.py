"""Codes made in the browser are those that a known encoder makes."""

from __future__ import annotations

import random

import pytest
import segno
import segno.encoder
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

SIGNS = "abcdefghijklmnopqrstuvwxyz0123456789-./?=&,%:ABCXYZ"
# Every version from 1 to 40 is met, full and with room left.
LENGTHS = (*range(1, 120, 3), *range(122, 700, 11), *range(700, 2331, 41), 2331)


def _exact(buffer: list[int], version: int, length: int) -> None:
    """Fill up to a whole codeword; segno adds one of noughts to what is whole."""
    del version
    buffer.extend([0] * (-length % 8))


@pytest.fixture
def compare(page: Page, served: str) -> Page:
    """The compare page with its scripts."""
    page.goto(f"{served}compare/")
    return page


def test_every_version_and_mask_is_as_another_encoder_makes_it(
    compare: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Texts of many lengths give the same modules, mask by mask."""
    monkeypatch.setattr(segno.encoder, "write_padding_bits", _exact)
    rng = random.Random(7)  # noqa: S311 - texts to try, no secret
    texts = ["".join(rng.choice(SIGNS) for _ in range(n)) for n in LENGTHS]
    found = compare.evaluate(
        """(texts) => texts.map((text, at) => window.benchQr.make(text, at % 8)
          .map((row) => row.map(Number).join('')))""",
        texts,
    )
    versions = set()
    for at, (text, rows) in enumerate(zip(texts, found, strict=True)):
        code = segno.make_qr(
            text, error="m", mode="byte", mask=at % 8, boost_error=False
        )
        versions.add(code.version)
        assert rows == ["".join(map(str, row)) for row in code.matrix], (at, len(text))
    assert versions == set(range(1, 41))


def test_a_mask_is_chosen_among_the_eight(compare: Page) -> None:
    """Without a mask asked for, the code is one of the eight, and no other."""
    found = compare.evaluate(
        """(text) => [window.benchQr.make(text),
          ...[0, 1, 2, 3, 4, 5, 6, 7].map((mask) => window.benchQr.make(text, mask))]
          .map((rows) => JSON.stringify(rows))""",
        "https://example.org/compare/?v=1&c=a.b.c",
    )
    assert len(set(found[1:])) == 8
    assert found[0] in found[1:]


def test_what_is_too_long_has_no_code(compare: Page) -> None:
    """One byte more than fits gives nothing instead of a wrong code."""
    made = compare.evaluate(
        "[2331, 2332].map((n) => Boolean(window.benchQr.make('a'.repeat(n))))"
    )
    assert made == [True, False]


def test_the_code_follows_the_address(page: Page, served: str) -> None:
    """Opened, it is of the address shown, and is drawn anew when that changes."""
    chosen = "netloft-box.panel-50-m13.s3,ruddlesk-merl-200.merl-200-round.high"
    page.goto(f"{served}compare/?v=1&c={chosen}")
    page.get_by_text("QR code of this comparison").click()
    code = page.locator("#page-code svg")
    expect(code).to_be_visible()

    def holds() -> None:
        address = page.locator("#page-address").inner_text()
        expect(code).to_have_attribute("aria-label", f"QR code of {address}")
        side = page.evaluate("(text) => window.benchQr.make(text).length + 8", address)
        expect(code).to_have_attribute("viewBox", f"0 0 {side} {side}")

    holds()
    page.get_by_role("button", name="Leave out").first.click()
    holds()
