"""What is to be done after jobs: a line a kind, the trees' names together, overdue wire first."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from season_engine.facts import Text
from season_engine.prints.answer import answer_text
from season_engine.prints.report import report_text
from season_engine.trees.follow_ups import FollowUp
from season_engine.words.follow_ups import LINES_TOLD, follow_up_lines
from season_engine.words.line import Line
from tests.factories import AS_OF, a_report, a_site_report, an_assessment, days

# AS_OF is 11 August 2026.
FEED, LOOK = Text("Feed after bloom"), Text("See whether the wire bites")
WIRE_OFF, TIES_OFF = Text("Take the wire off"), Text("Take the ties off")


def follow_up(tree: str, words: Text, first: int, last: int, **more: object) -> FollowUp:
    found = FollowUp(
        tree,
        "repotting",
        AS_OF - days(200),
        words,
        0,
        AS_OF + days(first),
        AS_OF + days(last),
        overdue=last < 0,
    )
    return replace(found, **more)  # type: ignore[arg-type]


def stays(tree: str, words: Text, last: int) -> FollowUp:
    on_tree = "wire" if words is WIRE_OFF else "ties"
    return follow_up(tree, words, last - 60, last, stays=True, on_tree=on_tree)


def lines(*found: FollowUp) -> tuple[Line, ...]:
    return follow_up_lines(a_site_report(follow_ups=found), AS_OF)


def test_trees_with_the_same_to_do_share_a_line_and_those_with_the_same_days_a_date() -> None:
    found = lines(follow_up("M1", FEED, -3, 9), follow_up("P1", FEED, -3, 9), follow_up("E1", FEED, 2, 11))
    assert found == (
        Line("Feed after bloom", "By 20 Aug: Lantern and Harbour pine; from 13 Aug to 22 Aug: Gatepost."),
    )


def test_each_way_of_being_due() -> None:
    told = {
        "Until 14 Aug: Lantern.": follow_up("M1", FEED, -3, 3, lasts=True),
        "By 14 Aug: Lantern.": follow_up("M1", FEED, -3, 3),
        "On 14 Aug: Lantern.": follow_up("M1", FEED, 3, 3),
        "By 11 Aug: Lantern.": follow_up("M1", FEED, 0, 0),
        "Due since 8 Aug: Lantern.": follow_up("M1", FEED, -3, -3),
        'Overdue since 8 Aug: Lantern. Told until "wire off" is noted.': stays("M1", WIRE_OFF, -3),
        'Overdue since 8 Aug: Lantern. Told until "ties off" is noted.': stays("M1", TIES_OFF, -3),
        "Overdue since 8 Aug 2024: Lantern.": follow_up("M1", FEED, -800, -733, stays=True),
    }
    for text, one in told.items():
        assert [line.text for line in lines(one)] == [text]


def test_overdue_wire_is_first_and_what_is_overdue_is_told_together() -> None:
    found = lines(
        follow_up("M1", FEED, -3, 2),
        stays("P1", TIES_OFF, -400),
        stays("E1", WIRE_OFF, -5),
        stays("M1", WIRE_OFF, -40),
        stays("P1", WIRE_OFF, 10),
    )
    assert [line.lead for line in found] == ["Take the wire off", "Take the ties off", "Feed after bloom"]
    assert found[0].text == (
        "Overdue, the longest since 2 Jul: Lantern and Gatepost; by 21 Aug: Harbour pine. "
        'Told until "wire off" is noted.'
    )


def test_what_is_weeks_ahead_is_left_for_later() -> None:
    assert lines(follow_up("M1", FEED, 7, 12)) == ()
    assert len(lines(follow_up("M1", FEED, 6, 12))) == 1


def test_at_most_so_many_lines_and_no_kind_is_lost() -> None:
    found = lines(*(follow_up("M1", Text(f"Look at branch {n:02}"), -1, n) for n in range(LINES_TOLD + 2)))
    assert len(found) == LINES_TOLD + 1
    assert found[-1] == Line("Also", "Look at branch 08; Look at branch 09.")


def test_the_text_has_the_section_before_the_weeks_care_and_none_where_nothing_is_due() -> None:
    due = a_report(sites=(a_site_report(follow_ups=(follow_up("M1", FEED, -3, 9),)),))
    assert "Looking after what was done\n  - Feed after bloom. By 20 Aug: Lantern.\n" in report_text(due)
    assert "Looking after" not in report_text(a_report())


def test_in_german() -> None:
    site = a_site_report(follow_ups=(stays("E1", WIRE_OFF, -5),))
    told = " ".join(report_text(a_report(sites=(site,), language="de")).split())
    assert "Nachsorge - Draht abnehmen. Überfällig seit 6. Aug.: Gatepost. Steht hier, bis" in told


def test_check_tells_a_tree_s_own_in_a_line_each_for_two_weeks() -> None:
    a = an_assessment(
        tree="M1",
        follow_ups=(
            stays("M1", WIRE_OFF, -5),
            follow_up("M1", LOOK, 13, 16),
            follow_up("M1", FEED, 14, 20),
        ),
    )
    told = answer_text(a)
    assert (
        "Looking after what was done\n"
        "  - Take the wire off, overdue since 6 Aug.\n"
        "  - See whether the wire bites, from 24 Aug to 27 Aug.\n"
    ) in told
    assert "Feed after bloom" not in told
    assert dt.date(2026, 8, 11) == AS_OF
    assert "Looking after" not in answer_text(an_assessment(tree="M1"))
