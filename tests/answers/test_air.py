"""Climate: what the air of a reading holds, the same air warmer, the trend against the band, and meters set right over salt.

The numbers of the air are those of PsychroLib 2.5.0 (ASHRAE Fundamentals 2017); the ones over salt those of Greenspan 1977,
at 24 °C 75.34 % over table salt and 32.85 % over magnesium chloride.
"""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest

from tests.answers.conftest import TODAY, Keeper, day


def read(keeper: Keeper, on: date, humidity: float | None, warm: float | None = None, **fields: object) -> None:
    """A reading of tub 4."""
    told: dict[str, object] = dict(fields)
    if humidity is not None:
        told["humidity_pct"] = [humidity, humidity]
    if warm is not None:
        told["temperature_c"] = [warm, warm]
    keeper.write(on, "reading", ["tub 4"], **told)  # type: ignore[arg-type]


def check(keeper: Keeper, on: date, meter: str, shown: float, salt: str = "NaCl", warm: float = 24) -> None:
    """A meter read over salt."""
    keeper.write(
        on, "note", [], words=f"{meter} {shown} over {salt}", meter=meter, salt=salt, shown_pct=[shown, shown], checked_c=[warm, warm]
    )  # fmt: skip


def warmer(keeper: Keeper, low: float, high: float | None = None) -> str:
    """What tub 4 would be at another temperature, the first line."""
    wanted = [low, low if high is None else high]
    return keeper.text("same_air", "tub 4", fields={"temperature_c": wanted}).splitlines()[0]


def test_the_air_of_a_reading(keeper: Keeper) -> None:
    """With temperature and humidity of one reading: dew point, vapour pressure deficit and water in a m³."""
    read(keeper, day(5, 6), 70, 22)
    assert keeper.text("climate", "tub 4").splitlines() == [
        "tub 4: 22 °C, 70 % humidity, Wed 6 May, yesterday.",
        "That air: dew point 16.3 °C, vapour pressure deficit 0.79 kPa, 13.6 g of water in a m³.",
    ]


def test_ranges_of_a_reading_give_ranges(keeper: Keeper) -> None:
    """The damp cool corner and the dry warm one are the ends."""
    keeper.write(day(5, 6), "reading", ["tub 4"], temperature_c=[20, 24], humidity_pct=[50, 80])
    said = keeper.text("climate", "tub 4").splitlines()[1]
    assert (
        said
        == "That air: dew point 9.3 to 20.3 °C, vapour pressure deficit 0.47 to 1.49 kPa, 8.6 to 17.4 g of water in a m³."
    )
    assert warmer(keeper, 26).startswith("tub 4: 35 to 71 % at 26 °C, ")


def test_half_a_reading_says_nothing_of_the_air(keeper: Keeper) -> None:
    """A newer temperature alone makes the humidity before it no measure of the air now."""
    read(keeper, day(5, 5), 70, 22)
    read(keeper, day(5, 6), None, 28)
    assert len(keeper.text("climate", "tub 4").splitlines()) == 1


@pytest.mark.parametrize(
    ("humidity", "warm", "wanted", "said"),
    [
        (70, 22, 26, "55 % at 26 °C"),
        (60, 18, 24, "41 % at 24 °C"),
        (75, 15, 25, "40 % at 25 °C"),
        (70, 26, 22, "89 % at 22 °C"),
    ],
)
def test_the_same_air_at_another_temperature(
    keeper: Keeper, humidity: float, warm: float, wanted: float, said: str
) -> None:
    """The vapour stays, so that warmer air is drier and cooler air damper."""
    read(keeper, day(5, 6), humidity, warm)
    assert warmer(keeper, wanted).startswith(f"tub 4: {said}, ")


def test_air_cooled_below_its_dew_point(keeper: Keeper) -> None:
    """It is at 100 % and drips; at one end of a range only that end does."""
    read(keeper, day(5, 6), 80, 24)
    assert warmer(keeper, 20).startswith(
        "tub 4: 100 % at 20 °C, with condensation: that is below its dew point (20.3 °C)."
    )
    both = warmer(keeper, 20, 24)
    assert both.startswith(
        "tub 4: 80 to 100 % at 20 to 24 °C; at the damp end condensation, below the dew point (20.3 °C)."
    )


def test_the_same_air_needs_both_numbers(keeper: Keeper) -> None:
    """Without a reading of both it says what to tell."""
    read(keeper, day(5, 6), 70)
    assert "so the air cannot be reckoned" in warmer(keeper, 26)


def test_the_trend_against_the_keepers_own_band(keeper: Keeper) -> None:
    """From five readings on: how many lie in the band, and how fast they fall, with the interval."""
    keeper.write(None, "rule", ["group B"], mood="plan", told=day(4, 2), humidity_pct=[55, 65])
    for week in range(4):
        read(keeper, TODAY - timedelta(days=49 - 7 * week), 68 - 2 * week)
    assert len(keeper.text("climate", "tub 4").splitlines()) == 1
    for week in range(4, 8):
        read(keeper, TODAY - timedelta(days=49 - 7 * week), 68 - 2 * week)
    assert keeper.text("climate", "tub 4").splitlines()[1] == (
        "Humidity: 5 of 8 readings since Thu 19 Mar in 55 to 65 % (your own words, 2 Apr 2026), 1 below, 2 above; "
        "falling about 2 points a week (2 to 2)."
    )


def test_too_few_readings_for_a_trend(keeper: Keeper) -> None:
    """Asked where it is going, it says from how many readings on that shows."""
    read(keeper, day(5, 6), 60)
    said = keeper.text("climate", "tub 4", fields={"trend": True}).splitlines()
    assert said[-1] == "Where it is going shows from 5 readings on; 1 reading in the last 8 weeks."


def test_a_trend_that_is_none(keeper: Keeper) -> None:
    """Readings up and down show no direction, and the interval is said all the same."""
    for at, humidity in enumerate((60, 62, 59, 61, 60, 62)):
        read(keeper, TODAY - timedelta(days=30 - 5 * at), humidity)
    assert "no rise or fall shows (" in keeper.text("climate", "tub 4")


def test_a_checked_meter_is_set_right(keeper: Keeper) -> None:
    """A reading made with it is shown with its offset, the raw one beside it, and reckoned so."""
    check(keeper, day(3, 3), "hyg 3", 71)
    read(keeper, day(5, 6), 57, 24, meter="hyg 3")
    assert keeper.text("climate", "tub 4").splitlines()[0] == (
        "tub 4: 24 °C, 61 % humidity (raw 57, hyg 3 checked 3 Mar), Wed 6 May, yesterday."
    )
    assert warmer(keeper, 26).startswith("tub 4: 54 % at 26 °C, ")


def test_only_later_readings_of_that_meter(keeper: Keeper) -> None:
    """Readings before the check, of other meters, and of a meter under 2 points off stay as they are."""
    check(keeper, day(5, 5), "hyg 3", 71)
    check(keeper, day(3, 3), "hyg 4", 74)
    read(keeper, day(5, 4), 57, meter="hyg 3")
    assert "tub 4: 57 % humidity by hyg 3, Mon 4 May" in keeper.text("climate", "tub 4")
    read(keeper, day(5, 6), 58, meter="hyg 4")
    assert "tub 4: 58 % humidity by hyg 4, Wed 6 May" in keeper.text("climate", "tub 4")
    read(keeper, day(5, 7), 59)
    assert "tub 4: 59 % humidity, Thu 7 May" in keeper.text("climate", "tub 4")


def test_the_meter_that_hung_there(keeper: Keeper) -> None:
    """A reading that names no meter was made with the one that hung in its place then, until it was moved away."""
    check(keeper, day(3, 3), "hyg 3", 71)
    keeper.write(day(4, 1), "note", ["tub 4"], meter="hyg 3")
    keeper.write(day(5, 5), "note", ["tub 1"], meter="hyg 3")
    read(keeper, day(5, 4), 57)
    assert "61 % humidity (raw 57, hyg 3 checked 3 Mar)" in keeper.text("climate", "tub 4")
    read(keeper, day(5, 6), 57)
    assert "tub 4: 57 % humidity, Wed 6 May" in keeper.text("climate", "tub 4")
    said = keeper.text("meter", fields={"meter": "hyg 3"}).splitlines()
    assert said[0] == "hyg 3 hangs in tub 1 since Tue 5 May, 2 days ago."


def test_a_meter_taken_down(keeper: Keeper) -> None:
    """It is no longer the meter of that place."""
    check(keeper, day(3, 3), "hyg 3", 71)
    keeper.write(day(4, 1), "note", ["tub 4"], meter="hyg 3")
    keeper.write(day(5, 5), "note", ["tub 4"], meter="hyg 3", taken_down=True)
    read(keeper, day(5, 6), 57)
    assert "tub 4: 57 % humidity, Wed 6 May" in keeper.text("climate", "tub 4")
    assert keeper.text("meter", fields={"meter": "hyg 3"}).startswith("Where hyg 3 hangs is not written")


def test_two_salts_make_a_line(keeper: Keeper) -> None:
    """37 over magnesium chloride and 72 over table salt: raw 60 is 60.77, shown as 61."""
    check(keeper, day(3, 3), "hyg 3", 37, "MgCl2")
    check(keeper, day(3, 4), "hyg 3", 72)
    read(keeper, day(5, 6), 60, meter="hyg 3")
    assert "61 % humidity (raw 60, hyg 3 checked 4 Mar)" in keeper.text("climate", "tub 4")
    assert "on a line through both salts, 60 % to 61 %" in keeper.text("meter", fields={"meter": "hyg 3"})


def test_why_names_the_check(keeper: Keeper) -> None:
    """Why a humidity is what it is: the reading in its own words, then the meter's check in its own words."""
    check(keeper, day(3, 3), "hyg 3", 71)
    keeper.write(
        day(5, 6), "reading", ["tub 4"], words="tub 4 57 by hyg 3", at=time(8), humidity_pct=[57, 57], meter="hyg 3"
    )
    said = keeper.text("air_why", "tub 4")
    assert "“tub 4 57 by hyg 3”" in said
    assert "read 71 for 75.3 over NaCl (24 °C) on 3 Mar 2026: +4.3" in said
    assert "- the check: “hyg 3 71 over NaCl” (told Tue 3 Mar" in said
    assert "Greenspan 1977" in said


def test_a_meter_never_checked(keeper: Keeper) -> None:
    """It says so and how it is done; a check taken back changes nothing any more."""
    assert "hyg 9 was never checked over salt." in keeper.text("meter", fields={"meter": "hyg 9"})


def test_a_check_is_no_reading_of_a_place(keeper: Keeper) -> None:
    """Neither a check nor where a meter hangs is a reading of anything."""
    check(keeper, day(5, 6), "hyg 3", 71)
    keeper.write(day(5, 6), "note", ["tub 4"], meter="hyg 3")
    assert keeper.text("climate", "tub 4") == "No reading of tub 4 is written."
    assert keeper.text("climate") == "No reading is written yet."


def test_an_old_check_asks_for_another(keeper: Keeper) -> None:
    """After a year a meter may have drifted."""
    check(keeper, date(2025, 4, 1), "hyg 3", 71)
    assert "over 365 days old" in keeper.text("meter", fields={"meter": "hyg 3"})


def test_misting_is_put_off_by_the_reading_set_right(keeper: Keeper) -> None:
    """A raw 52 % is below the band and calls for misting; set right it lies in it, as the due engine has to know."""
    keeper.write(None, "rule", ["group B"], mood="plan", told=day(4, 2), humidity_pct=[55, 65])
    keeper.plan("misting", ["group B"], told=day(4, 1), every_days=2)
    keeper.write(day(5, 1), "misting", ["tub 4"])
    read(keeper, day(5, 7), 52, meter="hyg 3")
    before = keeper.text("why", "group B", kind="misting")
    check(keeper, day(3, 3), "hyg 3", 71)
    after = keeper.text("why", "group B", kind="misting")
    assert before != after
    assert "56 %" in after
