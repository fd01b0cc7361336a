"""What stands on the picture of survival."""

from __future__ import annotations

import pytest
from matplotlib.patches import StepPatch

from bot.pictures.style import PictureFault
from bot.pictures.survival import HATCHES, Curve, Drop, Survival, drawn
from tests.pictures.looking import marks, spoken, words
from tests.pictures.samples import ALIVE, ALIVE_TWO, ALIVE_YEARS, OTHER, SIX_MP


def stairs(survival: Survival) -> list[list[tuple[float, float]]]:
    """The corners of the thick lines, in days and per cent."""
    lines = [line for line in drawn(survival).axes[0].lines if line.get_linewidth() > 1 and line.get_marker() == "None"]
    assert all(line.get_drawstyle() == "steps-post" for line in lines)
    return [list(zip(line.get_xdata(), line.get_ydata(), strict=True)) for line in lines]


def steps(survival: Survival) -> list[StepPatch]:
    """Of each curve the shade of the interval, its lower and its upper end."""
    return [one for one in drawn(survival).axes[0].get_children() if isinstance(one, StepPatch)]


def test_the_curve_steps_down_at_each_death() -> None:
    """From 100 % at day 0 by the shares of the 6-MP data to the last day."""
    (curve,) = stairs(ALIVE)
    assert curve == [(0, 100), *((drop.age, drop.share * 100) for drop in SIX_MP.drops), (35, 44.8179)]


def test_the_interval_is_shaded_between_its_ends() -> None:
    """From 0 on both ends of every step, in per cent; the ends are drawn as thin lines too."""
    shade, low, high = (one.get_data() for one in steps(ALIVE))
    assert list(shade.edges) == [0, *(drop.age for drop in SIX_MP.drops), 35]
    assert list(shade.baseline) == [100, *(drop.low * 100 for drop in SIX_MP.drops)]
    assert list(shade.values) == [100, *(drop.high * 100 for drop in SIX_MP.drops)]
    assert (list(low.values), list(high.values)) == (list(shade.baseline), list(shade.values))


def test_those_that_left_are_marked_on_the_curve() -> None:
    """An upright stroke at each age, at the height of the curve there, deaths of that day taken off."""
    found = dict(marks(drawn(ALIVE), "|"))
    assert sorted(found) == sorted(set(SIX_MP.censored))
    assert found[6] == pytest.approx(85.7143)
    assert found[9] == pytest.approx(80.6723)
    assert found[35] == pytest.approx(44.8179)


def test_two_broods_differ_in_line_and_mark() -> None:
    """The second is dashed with crosses, hatched, and named in the key."""
    figure = drawn(ALIVE_TWO)
    thick = [line for line in figure.axes[0].lines if line.get_linewidth() > 1 and line.get_marker() == "None"]
    styles = {line.get_linestyle() for line in thick}
    assert len(styles) == 2
    assert (len(marks(figure, "|")) > 0, len(marks(figure, "+"))) == (True, len(OTHER.censored))
    assert {"brood 7", "brood 5"} <= set(words(figure))
    assert [one.get_hatch() for one in steps(ALIVE_TWO) if one.get_fill()] == list(HATCHES)


def test_how_many_it_rests_on_is_written_below() -> None:
    """The numbers still in the reckoning; without them no line for them."""
    assert {"21", "15", "8", "5", "animals still in the reckoning"} <= set(words(drawn(ALIVE)))
    bare = Survival("a", "b", (Curve("brood 7", SIX_MP.drops, 35),))
    assert "still in the reckoning" not in spoken(drawn(bare))


@pytest.mark.parametrize(("until", "unit"), [(3, "days"), (120, "days"), (121, "weeks"), (731, "years")])
def test_ages_are_told_in_fitting_units(until: float, unit: str) -> None:
    """Days up to four months, weeks up to two years, then years."""
    figure = drawn(Survival("a", "b", (Curve("brood", (Drop(1, 0.9, 0.8, 1.0),), until),)))
    assert f"{unit} since the start" in words(figure)
    assert figure.axes[0].get_xlim()[1] >= until


def test_ten_years_are_drawn_whole() -> None:
    """Every step is kept; of five hundred that left, sixty marks at most."""
    (curve,) = stairs(ALIVE_YEARS)
    assert len(curve) == 902
    assert len(marks(drawn(ALIVE_YEARS), "|")) <= 60


def test_none_or_three_broods_make_no_picture() -> None:
    """A sentence for each."""
    with pytest.raises(PictureFault, match="There is nothing to draw"):
        drawn(Survival("a", "b", ()))
    with pytest.raises(PictureFault, match="At most two broods"):
        drawn(Survival("a", "b", (SIX_MP, OTHER, SIX_MP)))
