"""Examples worked by hand in dates."""

from __future__ import annotations

import datetime as dt

from tests.trees.spacing_oracle import Event, OracleTree, allowed_from, barred, need, repotting_state

NONE: frozenset[str] = frozenset()
TWO = frozenset({"drains slowly", "roots lift"})


def d(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def ev(date: str, work: str, amount: str = "", share: float | None = None, abroad: bool = False) -> Event:
    return Event(d(date), work, amount, share, abroad)


def first(
    tree: OracleTree, events: list[Event], asked: str, day: str, hard: tuple[str, ...] = ()
) -> str | None:
    found = allowed_from(tree, events, [d(text) for text in hard], asked, d(day))
    return found.isoformat() if found else None


def state(tree: OracleTree, events: list[Event], day: str, signs: frozenset[str] = NONE) -> str:
    return repotting_state(tree, events, signs, d(day), d(day))


def test_full_root_work_bars_decandling_for_46_weeks() -> None:
    # 46 weeks = 322 days: 15 March 2022 + 322 = 31 January 2023; by then the next cycle has begun.
    tree, events = OracleTree("Pinus thunbergii", "refined"), [ev("2022-03-15", "repotting")]
    assert first(tree, events, "decandling", "2022-06-10") == "2023-01-31"
    assert barred(tree, events, [], "decandling", d("2023-01-30"))
    assert not barred(tree, events, [], "decandling", d("2023-01-31"))


def test_whole_defoliation_waits_for_next_year_but_not_on_a_fig() -> None:
    events = [ev("2022-03-15", "repotting")]
    assert first(OracleTree("Acer palmatum"), events, "whole defoliation", "2022-06-10") == "2023-01-31"
    assert first(OracleTree("Ficus microcarpa"), events, "whole defoliation", "2022-03-15") == "2022-03-15"
    refined = OracleTree("Ficus microcarpa", "refined")  # which bears it beside the cycle's one heavy job
    assert first(refined, events, "whole defoliation", "2022-03-15") == "2022-03-15"


def test_trimming_waits_for_sixty_days_and_a_hard_flush() -> None:
    tree, events = OracleTree("Acer palmatum"), [ev("2022-03-15", "repotting")]
    # 15 March + 60 = 14 May; the flush hard on 13 April (29 days) is too early to tell.
    assert first(tree, events, "trimming", "2022-04-01", ("2022-04-14",)) == "2022-05-14"
    assert first(tree, events, "trimming", "2022-04-01", ("2022-04-13", "2022-06-01")) == "2022-06-01"
    assert first(tree, events, "trimming", "2022-04-01", ("2022-04-13",)) is None


def test_pinching_of_refined_broadleaves_and_spruce_needs_no_wait() -> None:
    events = [ev("2022-03-15", "repotting")]
    for tree in (OracleTree("Acer palmatum", "refined"), OracleTree("Picea glauca")):
        assert first(tree, events, "pinching", "2022-04-01") == "2022-04-01"
    assert first(OracleTree("Larix laricina", "refined"), events, "pinching", "2022-04-01") is None


def test_heavy_pruning_after_root_work_on_conifers() -> None:
    events, hard = [ev("2022-03-15", "repotting")], ("2022-06-20",)
    assert first(OracleTree("Pinus thunbergii"), events, "heavy pruning", "2022-04-01", hard) == "2023-03-15"
    for tree in (OracleTree("Picea glauca"), OracleTree("Juniperus chinensis", "old")):
        assert first(tree, events, "heavy pruning", "2022-04-01", hard) == "2023-09-15"
    assert first(OracleTree("Pinus parviflora"), events, "heavy pruning", "2022-04-01") is None


def test_heavy_pruning_with_the_root_work_is_one_job_on_an_elm() -> None:
    events = [ev("2022-03-15", "repotting")]
    elm = OracleTree("Ulmus parvifolia", "refined")
    assert not barred(elm, events, [], "heavy pruning", d("2022-03-15"))
    pruned = [ev("2022-03-15", "structural-pruning", "heavy")]
    assert not barred(elm, pruned, [], "repotting", d("2022-03-15"))


def test_heavy_pruning_of_a_maple_waits_for_a_hard_flush_alone() -> None:
    events, hard = [ev("2022-03-15", "repotting")], ("2022-05-20",)
    assert first(OracleTree("Acer palmatum"), events, "heavy pruning", "2022-04-01", hard) == "2022-05-20"
    refined = OracleTree("Acer palmatum", "refined")  # one heavy job a cycle
    assert first(refined, events, "heavy pruning", "2022-04-01", hard) == "2022-10-01"


def test_big_bend_waits_twelve_months_on_conifers_only() -> None:
    events = [ev("2020-02-29", "repotting")]
    assert first(OracleTree("Larix laricina"), events, "big bend", "2020-04-01") == "2021-02-28"
    assert first(OracleTree("Carpinus betulus"), events, "big bend", "2020-04-01") == "2020-04-01"


def test_root_work_after_root_work() -> None:
    events = [ev("2022-03-15", "repotting")]
    young = "Acer buergerianum", "young"
    assert first(OracleTree(*young), events, "repotting", "2022-04-01") == "2023-01-31"
    assert first(OracleTree(*young, vigour="weak"), events, "repotting", "2022-04-01") == "2023-09-15"
    assert first(OracleTree("Carpinus betulus"), events, "repotting", "2022-04-01") == "2023-09-15"
    # A small hornbeam's two years are one: 2 less a third is 1.33.
    small = OracleTree("Carpinus betulus", size="small")
    assert first(small, events, "sectional-repotting", "2022-04-01") == "2023-01-31"


def test_sections() -> None:
    half = [ev("2022-03-15", "sectional-repotting", share=0.5)]
    quarter = [ev("2022-03-15", "sectional-repotting", share=0.25)]
    monterey = OracleTree("Pinus radiata", "refined", "strong")
    assert first(monterey, half, "sectional-repotting", "2022-04-01") == "2023-03-15"
    assert first(monterey, quarter, "repotting", "2022-04-01") == "2024-03-15"
    assert first(OracleTree("Pinus radiata"), half, "repotting", "2022-04-01") == "2024-03-15"
    assert first(OracleTree("Olea europaea", "old"), half, "repotting", "2022-04-01") == "2023-03-15"
    third = [ev("2022-03-15", "sectional-repotting", share=1 / 3)]
    assert first(OracleTree("Olea europaea", "old"), third, "repotting", "2022-04-01") == "2024-03-15"


def test_late_summer_root_work_waits_for_next_springs_shoots() -> None:
    events, hard = [ev("2022-08-20", "repotting")], ("2022-10-05", "2023-06-15")
    tree = OracleTree("Pinus thunbergii")
    assert first(tree, events, "decandling", "2022-09-01", hard) == "2023-06-15"
    assert first(tree, events, "big bend", "2022-09-01", hard) == "2023-06-15"
    assert first(tree, events, "repotting", "2022-09-01", hard) == "2024-02-20"  # beside the 18 months
    assert first(tree, events, "big bend", "2022-09-01", hard[:1]) is None
    # No late rule on a fig, but it is a late one on an elm.
    assert first(OracleTree("Ficus microcarpa"), events, "heavy pruning", "2022-08-20") == "2022-08-20"
    assert first(OracleTree("Ulmus parvifolia"), events, "heavy pruning", "2022-08-20", hard) == "2023-06-15"


def test_late_summer_bounds() -> None:
    hard = ("2022-07-25", "2023-06-15")
    maple = OracleTree("Acer palmatum")
    longest, before = [ev("2022-06-21", "repotting")], [ev("2022-06-20", "repotting")]
    assert first(maple, longest, "heavy pruning", "2022-06-21", hard) == "2023-06-15"
    assert first(maple, before, "heavy pruning", "2022-06-21", hard) == "2022-07-25"
    south = OracleTree("Acer palmatum", south=True)  # 20 August is the end of winter there
    assert first(south, [ev("2022-08-20", "repotting")], "heavy pruning", "2022-08-21", ("2022-11-10",)) == (
        "2022-11-10"
    )
    late_south = [ev("2023-02-10", "sectional-repotting", share=0.5)]  # shortest day 21 June 2023
    assert first(south, late_south, "big bend", "2023-02-11", ("2023-06-21", "2023-11-10")) == "2023-11-10"


def test_decandling() -> None:
    tree, events = OracleTree("Pinus thunbergii", "refined"), [ev("2022-06-10", "decandling")]
    assert first(tree, events, "repotting", "2022-11-01") == "2022-12-21"
    assert first(tree, events, "sectional-repotting", "2022-06-11") == "2022-10-01"  # by the count alone
    assert first(tree, events, "decandling", "2022-11-01") == "2023-04-28"  # 10 June + 322 days
    assert first(OracleTree("Pinus thunbergii", "refined", "weak"), [], "decandling", "2022-06-10") is None


def test_defoliation_twice() -> None:
    events = [ev("2022-06-01", "defoliation")]
    assert first(OracleTree("Acer palmatum"), events, "whole defoliation", "2022-06-10") == "2024-04-17"
    trident = OracleTree("Acer buergerianum", "refined", "strong")
    assert first(trident, events, "whole defoliation", "2022-06-10") == "2023-04-19"
    assert first(OracleTree("Ficus microcarpa"), events, "whole defoliation", "2022-06-10") == "2022-07-27"
    partial = [ev("2022-06-01", "defoliation", "medium")]
    assert first(OracleTree("Acer palmatum"), partial, "whole defoliation", "2022-06-10") == "2022-06-10"


def test_heavy_pruning_of_a_conifer_bars_root_work_and_decandling() -> None:
    events = [ev("2022-02-10", "structural-pruning", "heavy")]
    for asked in ("repotting", "sectional-repotting", "decandling"):
        assert first(OracleTree("Pinus sylvestris"), events, asked, "2022-03-01") == "2023-02-10"


def test_bends_and_deadwood_bar_root_work() -> None:
    bend, deadwood = [ev("2022-01-10", "wiring", "heavy")], [ev("2022-01-10", "deadwood")]
    assert first(OracleTree("Pinus parviflora"), bend, "repotting", "2022-03-01") == "2024-01-10"
    old = OracleTree("Juniperus chinensis", "old")
    assert first(old, deadwood, "repotting", "2022-03-01") == "2024-01-10"
    assert first(OracleTree("Juniperus chinensis"), deadwood, "repotting", "2022-03-01") == "2023-01-10"
    plain = [ev("2022-01-10", "wiring", "medium")]
    assert first(OracleTree("Pinus parviflora"), plain, "repotting", "2022-03-01") == "2022-03-01"


def test_collecting() -> None:
    events = [ev("2022-03-15", "collecting")]
    # 98 weeks = 686 days: 30 January 2024; 150 weeks = 1050 days: 28 January 2025.
    assert first(OracleTree("Carpinus betulus"), events, "repotting", "2022-06-01") == "2024-01-30"
    assert first(OracleTree("Carpinus betulus"), events, "partial defoliation", "2022-06-01") == "2025-01-28"
    assert first(OracleTree("Pinus sylvestris"), events, "sectional-repotting", "2022-06-01") == "2025-01-28"


def test_arrival() -> None:
    tree = OracleTree("Carpinus betulus")
    assert first(tree, [ev("2022-05-10", "arrival")], "big bend", "2022-06-01") == "2023-10-01"
    assert first(tree, [ev("2022-05-10", "arrival", abroad=True)], "big bend", "2022-06-01") == "2023-11-10"
    assert first(tree, [ev("2022-05-10", "arrival")], "trimming", "2022-06-01") == "2023-10-01"  # as all work
    south = OracleTree("Carpinus betulus", south=True)
    assert first(south, [ev("2022-05-10", "arrival")], "repotting", "2022-06-01") == "2023-04-01"


def test_illness_bars_everything_until_a_flush_after_it() -> None:
    tree, sick = OracleTree("Pinus sylvestris"), [ev("2022-04-01", "sick")]
    well = [*sick, ev("2022-05-10", "well")]
    assert first(tree, sick, "trimming", "2022-05-01", ("2022-06-20",)) is None
    assert first(tree, well, "trimming", "2022-05-11", ("2022-06-08", "2023-06-20")) == "2023-06-20"
    assert first(tree, well, "trimming", "2022-05-11", ("2022-06-09",)) == "2022-06-09"
    # What is written down later doesn't count yet.
    assert first(tree, well, "trimming", "2022-03-01") == "2022-03-01"


def test_a_juniper_is_not_trimmed_in_the_year_of_a_repotting() -> None:
    events, hard = [ev("2022-03-15", "repotting")], ("2022-06-20",)
    tree = OracleTree("Juniperus chinensis")
    assert first(tree, events, "trimming", "2022-07-01", hard) == "2023-01-31"
    assert first(tree, events, "structural-pruning", "2022-07-01", hard) == "2023-01-31"
    assert first(tree, events, "pinching", "2022-07-01", hard) == "2022-07-01"


def test_yearly_work() -> None:
    tree = OracleTree("Pinus sylvestris")
    assert first(tree, [ev("2022-03-15", "needle-work")], "needle-work", "2022-07-01") == "2023-01-31"
    heavy = [ev("2022-03-15", "structural-pruning", "heavy")]
    assert first(tree, heavy, "structural-pruning", "2022-07-01") == "2023-01-31"
    assert first(tree, [ev("2022-03-15", "trimming")], "trimming", "2022-03-16") == "2022-03-16"


def test_heavy_jobs_in_a_cycle() -> None:
    bend = ev("2021-10-01", "wiring", "heavy")
    assert first(OracleTree("Pinus thunbergii"), [bend], "decandling", "2022-06-10") == "2022-10-01"
    earlier = [ev("2021-09-30", "wiring", "heavy")]
    assert first(OracleTree("Pinus thunbergii"), earlier, "decandling", "2022-06-10") == "2022-06-10"
    maple = OracleTree("Acer palmatum")
    assert first(maple, [bend], "heavy pruning", "2022-06-10") == "2022-06-10"
    two = [bend, ev("2021-11-01", "structural-pruning", "heavy")]
    assert first(maple, two, "whole defoliation", "2022-06-10") == "2022-10-01"


def test_repotting_state_by_years() -> None:
    tree, events = OracleTree("Pinus thunbergii", "refined"), [ev("2019-03-15", "repotting")]  # 3 to 5
    assert [state(tree, events, f"{year}-03-15") for year in (2021, 2022, 2023, 2024)] == [
        "leave",
        "may",
        "may",
        "due",
    ]
    # 913 days are 2.4997 years, rounded 2; 914 are 2.502, rounded 3.
    assert state(tree, events, "2021-09-13") == "leave"
    assert state(tree, events, "2021-09-14") == "may"
    small = OracleTree("Pinus thunbergii", "refined", size="small")  # 2 to 3
    assert state(small, events, "2021-03-15") == "may"
    assert state(small, events, "2022-03-15") == "due"
    opens = repotting_state(tree, events, NONE, d("2022-03-01"), d("2021-06-01"))  # 1082 days: 3 years
    assert opens == "may"


def test_repotting_state_by_signs() -> None:
    tree, events = OracleTree("Pinus thunbergii", "refined"), [ev("2019-03-15", "repotting")]
    one = frozenset({"roots ring", "sour smell"})  # the second isn't one of the signs here
    assert state(tree, events, "2022-03-15", one) == "due"
    assert state(tree, events, "2020-03-15", one) == "leave"
    assert state(tree, events, "2020-03-15", TWO) == "due"
    assert state(tree, [], "2020-03-15") == "may"
    assert state(OracleTree("Pinus thunbergii", "old"), [], "2020-03-15") == "leave"
    assert state(tree, [ev("2017-03-15", "collecting")], "2022-03-15") == "due"


def ask(tree: OracleTree, asked: str, events: list[Event] | None = None, signs: frozenset[str] = NONE) -> str:
    return need(tree, events or [], [], signs, d("2022-06-10"), asked, d("2022-05-01"))


def test_need_by_stage() -> None:
    pine = "Pinus thunbergii"
    asked = ("decandling", "needle-work", "structural-pruning", "heavy pruning", "pinching", "trimming")
    got = {stage: [ask(OracleTree(pine, stage), work) for work in asked] for stage in ("young", "training")}
    assert got["young"] == ["leave", "may", "may", "may", "leave", "may"]
    assert got["training"] == ["may", "due", "due", "may", "may", "may"]
    got = {stage: [ask(OracleTree(pine, stage), work) for work in asked] for stage in ("refined", "old")}
    assert got["refined"] == ["due", "due", "due", "leave", "due", "may"]
    assert got["old"] == ["leave", "may", "may", "leave", "may", "may"]
    assert ask(OracleTree(pine, "old", "strong"), "decandling") == "may"
    azalea = "Rhododendron indicum"
    assert ask(OracleTree(azalea, "young"), "after-bloom-pruning") == "may"
    assert ask(OracleTree(azalea, "old"), "after-bloom-pruning") == "due"
    assert ask(OracleTree(azalea, "old"), "sectional-repotting") == "due"


def test_need_of_weak_sick_and_barred_trees() -> None:
    weak = OracleTree("Acer palmatum", "refined", "weak")
    assert ask(weak, "trimming") == "leave"
    assert ask(weak, "repotting") == "leave"
    assert ask(weak, "repotting", signs=TWO) == "due"
    sick = [ev("2022-04-20", "sick")]
    assert ask(weak, "repotting", sick, TWO) == "leave"
    tree = OracleTree("Acer palmatum", "refined")
    # 22 December is past the shortest day, so no late work; its 18 months end on 22 June 2022.
    kept, day = [ev("2020-12-22", "repotting")], d("2022-05-01")
    assert need(tree, kept, [], TWO, d("2022-06-21"), "repotting", day) == "leave"
    assert need(tree, kept, [], TWO, d("2022-06-22"), "repotting", day) == "due"
    # Done after the day asked on, so not known yet.
    assert ask(tree, "repotting", [ev("2022-05-02", "repotting")]) == "may"
