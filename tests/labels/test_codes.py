"""A code is drawn as ISO/IEC 18004 has it, and not so finely that a phone cannot read it."""

from __future__ import annotations

import pytest
import segno

from bot.labels.codes import QUIET_ZONE, SMALLEST_MODULE, code_of
from bot.labels.label import Label, LabelFault
from bot.labels.layout import SIZES, LabelSize
from bot.labels.links import link

each_size = pytest.mark.parametrize("size", SIZES.values(), ids=lambda size: size.name)


def label(url: str) -> Label:
    return Label("Tub 4", "", url)


def test_the_runs_are_the_dark_modules() -> None:
    """Laid out one by one, the runs make the matrix that the encoder gives, shifted by the quiet zone."""
    url = "https://t.me/rackside_demo_bot?start=e_1"
    code = code_of(label(url), SIZES["small"])
    drawn = {(run.row, run.column + step) for run in code.runs for step in range(run.length)}
    matrix = segno.make_qr(url, error="m").matrix
    dark = {(row + 4, column + 4) for row, line in enumerate(matrix) for column, module in enumerate(line) if module}
    assert drawn == dark
    assert code.modules == len(matrix) + 2 * QUIET_ZONE
    assert len(code.runs) < len(dark)


@each_size
def test_the_longest_link_fits_every_size(size: LabelSize) -> None:
    """Name of 32 and code of 64 characters: modules of at least 0.4 mm on every label."""
    code = code_of(label(link("b" * 32, "c" * 64)), size)
    assert size.code / code.modules >= SMALLEST_MODULE


def test_a_longer_address_names_the_labels_that_hold_it() -> None:
    """Where the modules get too fine, the fault says so, whose label it is, and which sizes are large enough."""
    with pytest.raises(LabelFault) as fault:
        code_of(label("https://example.org/" + "x" * 160), SIZES["small"])
    assert str(fault.value) == (
        "The link of Tub 4 has 180 characters, too many for a code that a phone can read on a small label. "
        "It fits on medium or large."
    )
    assert isinstance(fault.value, ValueError)


@pytest.mark.parametrize("length", [1000, 5000])
def test_an_address_too_long_for_all_must_be_shorter(length: int) -> None:
    """Too fine for every label, or past what any code holds: the link must be shorter."""
    with pytest.raises(LabelFault, match="It needs a shorter link"):
        code_of(label("x" * length), SIZES["large"])


def test_no_address_is_said() -> None:
    """A label without a link is a fault."""
    with pytest.raises(LabelFault, match="The label of Tub 4 has no link for its code"):
        code_of(label(""), SIZES["small"])
