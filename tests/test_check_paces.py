"""Feeds and speeds: each too much for the cutter, and beside it what is near it and right."""

from dataclasses import replace

import pytest

from pathgen.check.check import Report
from pathgen.moves.moves import Arc, Drill, Feed, Rapid
from pathgen.moves.plan import Item
from pathgen.shop.cutters import Cutter
from pathgen.shop.machines import Machine
from pathgen.shop.machines import Spindle as SpindleSpeeds
from tests.builders import (
    CLEAR,
    DEPTHS,
    DRILL,
    REAMER,
    SLOT_DRILL,
    SPOT,
    checked,
    codes,
    fit,
    hand_mill,
    mill,
    only,
    run,
    to_and_fro,
    zero,
)

# The figures of mild steel: mills 0.001 in a tooth at 1/4 in and less below it in proportion, so
# 0.024 mm at 6 mm; drills 0.002 in a turn at 1/8 in, 0.004 in at 1/4 in, so 0.080 mm at 5 mm and
# 0.096 mm at 6 mm; reamers 0.002 in a tooth. HSS mills 70 ft/min, 21.3 m/min. At most twice that.


def along(feed: float, rpm: float = 1000.0, z: float = -1.5) -> list[Item]:
    """Return a cut along the middle of the slot at a feed."""
    items: list[Item] = [Rapid(23, 0, CLEAR), Feed(23, 0, z, 40), Feed(77, 0, z, feed)]
    return [*fit(SLOT_DRILL, rpm=rpm), *items, Rapid(77, 0, CLEAR)]


@pytest.mark.parametrize(("feed", "found"), [(95.0, False), (97.0, True)])
def test_a_mill_is_fed_by_twice_the_usual_a_tooth_at_most(feed: float, found: bool) -> None:
    # 2 teeth, 2 x 0.024 mm, 1000 turns: 96 mm/min
    report = checked(run(*along(feed)))
    assert ("chip" in codes(report)) is found


def test_the_finding_tells_how_much_it_is_what_is_usual_and_what_to_feed() -> None:
    finding = only(checked(run(*along(240.0))), "chip")
    assert "0.120 mm a tooth" in finding.what
    assert "0.024 mm is usual in mild steel and 0.048 mm is the most" in finding.what
    assert finding.remedy == "feed at most 96 mm/min at 1000 rev/min"
    assert finding.amount == pytest.approx(0.072)
    assert finding.place == 7


def test_a_speed_too_low_for_the_feed_is_the_same_fault() -> None:
    assert "chip" in codes(checked(run(*along(75.0, rpm=500))))
    assert "chip" not in codes(checked(run(*along(75.0, rpm=1000))))


@pytest.mark.parametrize(("feed", "found"), [(95.0, False), (97.0, True)])
def test_a_mill_goes_straight_down_slower_than_along(feed: float, found: bool) -> None:
    # As to counterbore: half of a drill's 0.096 mm, twice, at 1000 turns.
    down: list[Item] = [Rapid(30, 0, CLEAR), Feed(30, 0, -1, feed), Rapid(30, 0, CLEAR)]
    report = checked(run(*fit(SLOT_DRILL), *down))
    assert ("chip" in codes(report)) is found
    if found:
        assert "straight down" in only(report, "chip").what


@pytest.mark.parametrize(
    ("which", "feed", "found"),
    [
        (DRILL, 159.0, False),
        (DRILL, 161.0, True),  # 2 x 0.080 mm
        (SPOT, 95.0, False),
        (SPOT, 97.0, True),  # half of a drill's: 2 x 0.048 mm
    ],
)
def test_what_goes_straight_down_is_fed_by_the_turn(
    which: Cutter, feed: float, found: bool
) -> None:
    hole = Drill(30, 0, -2, 1, feed)
    assert ("chip" in codes(checked(run(*fit(which), hole, cutters=(which,))))) is found


@pytest.mark.parametrize(("feed", "found"), [(203.0, False), (204.0, True)])
def test_a_reamer_is_fed_by_the_tooth(feed: float, found: bool) -> None:
    # 2 teeth, 2 x 0.0508 mm, 1000 turns, in a hole that leaves it 1 mm
    hole = (*fit(DRILL, 1), Drill(30, 0, -9.6, 1, 50), Rapid(30, 0, CLEAR))
    ream = (*fit(REAMER, 2), Drill(30, 0, -8.5, 1, feed, feed_out=True))
    report = checked(run(*hole, *ream, cutters=(DRILL, REAMER)))
    assert ("chip" in codes(report)) is found


def test_a_fast_feed_in_the_air_or_in_what_is_cut_is_none() -> None:
    air = (Feed(10, 15, CLEAR, 700), Feed(23, 0, CLEAR, 700))
    in_the_slot = (Rapid(30, 0, CLEAR), Feed(30, 0, -5, 700), Feed(70, 0, -5, 700))
    good = (*fit(SLOT_DRILL), *to_and_fro(DEPTHS))
    assert codes(checked(run(*good, *air, *in_the_slot, Rapid(70, 0, CLEAR)))) == set()
    uncut = (Rapid(30, 12, CLEAR), Feed(30, 12, -1, 700), Rapid(30, 12, CLEAR))
    assert "chip" in codes(checked(run(*good, *uncut)))


def with_speeds(*speeds: float) -> Machine:
    spindle = SpindleSpeeds(speeds=speeds, lowest=min(speeds), highest=max(speeds))
    return replace(mill(), spindle=spindle)


def turned(rpm: float, machine: Machine | None = None) -> Report:
    return checked(run(*along(90.0, rpm=rpm)), machine=machine)


@pytest.mark.parametrize(("rpm", "found"), [(2263.0, False), (2265.0, True)])
def test_the_edge_goes_at_most_twice_as_fast_as_is_usual(rpm: float, found: bool) -> None:
    # 2 x 21.336 m/min on 6 mm: 2263.8 rev/min
    report = turned(rpm)
    assert ("cutting speed" in codes(report)) is found
    assert all(each.severity == "finding" for each in report.findings)


def test_a_finding_of_speed_tells_what_to_turn_at() -> None:
    finding = only(turned(3000.0), "cutting speed")
    assert "57 m/min at the edge of '6 mm slot drill', where 21 m/min is usual" in finding.what
    assert finding.remedy == "turn at 2263 rev/min at most"
    assert finding.severity == "finding"


def test_a_speed_above_the_most_is_a_caution_where_the_spindle_has_no_slower() -> None:
    finding = only(turned(2500.0, with_speeds(2500.0, 3000.0)), "cutting speed")
    assert finding.severity == "caution"
    assert "no slower speed" in finding.remedy
    assert only(turned(3000.0, with_speeds(2500.0, 3000.0)), "cutting speed").severity == "finding"


def test_a_spot_goes_by_the_width_that_cuts() -> None:
    # 27.4 m/min, twice: on the whole 6 mm 2910 rev/min, on the 2 mm of a spot 1 mm deep thrice that
    spot = (*fit(SPOT, rpm=3000), Drill(30, 0, -1, 1, 60))
    assert "cutting speed" not in codes(checked(run(*spot, cutters=(SPOT,))))
    deep = (*fit(SPOT, rpm=3000), Drill(30, 0, -4, 1, 60))
    assert "cutting speed" in codes(checked(run(*deep, cutters=(SPOT,))))


def test_a_feed_that_only_rubs_is_a_caution_once_for_each_cutter() -> None:
    # a tenth of 2 x 0.024 mm a turn, 1000 turns: 4.8 mm/min
    slow = only(checked(run(*along(4.7), Feed(23, 5, -1.5, 4.7))), "chip")
    assert (slow.severity, slow.place) == ("caution", 7)
    assert "rubs" in slow.what
    assert "chip" not in codes(checked(run(*along(4.9))))


def test_a_slow_way_down_or_round_an_arc_does_not_rub() -> None:
    # On an arc the edge goes faster than the centre.
    items = (Rapid(30, 0, CLEAR), Feed(30, 0, -1, 2), Arc(32, 0, -1, 31, 0, True, 2))
    assert "chip" not in codes(checked(run(*fit(SLOT_DRILL), *items)))


@pytest.mark.parametrize(("feed", "found"), [(23.5, False), (24.5, True)])
def test_on_an_arc_the_feed_is_that_of_the_edge_outside_it(feed: float, found: bool) -> None:
    # 2 x 2 x 0.024 mm a turn, 1000 turns: 96 mm/min, at the edge, 4 times as far out as the middle
    round_it = (Rapid(30, 0, CLEAR), Feed(30, 0, -1, 20), Arc(30, 0, -1, 29, 0, True, feed))
    report = checked(run(*fit(SLOT_DRILL), *round_it))
    assert ("chip" in codes(report)) is found
    if found:
        assert "4.0 times as fast round this arc" in only(report, "chip").what
        assert only(report, "chip").remedy == "feed at most 24 mm/min at 1000 rev/min"


def test_on_the_inside_of_an_arc_the_edge_goes_no_faster() -> None:
    # A ring is cleared first: round a boss all that is left lies between the way and the centre.
    ring = (Rapid(31.5, 0, CLEAR), Feed(31.5, 0, -1, 20), Arc(31.5, 0, -1, 25, 0, True, 30))
    down = (Rapid(31.5, 0, CLEAR), Rapid(30, 0, CLEAR), Feed(30, 0, -1, 20))
    boss = (*down, Arc(30, 0, -1, 25, 0, True, 80))  # 128 mm/min outside
    assert "chip" not in codes(checked(run(*fit(SLOT_DRILL), *ring, *boss)))
    assert "chip" in codes(checked(run(*fit(SLOT_DRILL), *boss)))


def test_a_sheet_is_judged_alike() -> None:
    def sheet(*items: Item) -> set[str]:
        zeros = (zero("x"), zero("y"))
        return codes(checked(run(*zeros, *items, where="step"), machine=hand_mill()))

    assert "chip" in sheet(*along(200.0))
    assert "cutting speed" in sheet(*along(90.0, rpm=2800))
    assert {"chip", "cutting speed"}.isdisjoint(sheet(*along(90.0)))
