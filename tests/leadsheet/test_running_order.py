"""From the head to the solos and back.  That a *D.C. al Coda* which comes back to all
of the head is taken after the solos, and one which completes the head is not, is common
practice, no source."""

from __future__ import annotations

import pytest
from form_charts import chart, sheet

from leadsheet_theory.errors import RunningOrderError
from leadsheet_theory.leadsheet import Jump, LeadSheet, running_order
from leadsheet_theory.leadsheet.form import play_order


def tune(form: str) -> LeadSheet:
    return sheet(chart(form))


@pytest.mark.parametrize(
    ("form", "says", "head", "out_head"),
    [
        ("1-4", "D.C.", "1-4", "1-4"),
        ("1-2 DC", "D.C.", "1-2", "1-2"),
        ("|: 1-2 :| 3", "D.C. with repeats", "1-2 1-3", "1-2 1-3"),
        ("1-4 ToCoda 5-8 DC.Coda Coda 9-10", "D.C. al Coda", "1-8", "1-4 9-10"),
        ("1-6 ToCoda 7-8 Coda 9-10", "D.C. al Coda", "1-8", "1-6 9-10"),
        (
            "|: Segno 1-6 [1: 7 :|] [2: 8] 9-11 ToCoda 12 DS.Coda Coda 13",
            "D.S. al Coda",
            "1-7 1-6 8-12",
            "1-6 8-11 13",
        ),
        # what completes the head is played in the head, and again after the solos
        ("1-4 Fine 5-8 DC.Fine", "D.C.", "1-8 1-4", "1-8 1-4"),
        ("1-8 ToCoda 9-20 DC.Coda Coda 21", "D.C.", "1-20 1-8 21", "1-20 1-8 21"),
        ("1-6 ToCoda 7-8 DC.Coda Coda 9-17", "D.C.", "1-8 1-6 9-17", "1-8 1-6 9-17"),
        ("|: 1-2 ToCoda 3-4 :| Coda 5", "D.C. with repeats", "1-4 1-2 5", "1-4 1-2 5"),
        ("0 |: 1-3 [1: 4 :|] [2: 5]", "D.C. with repeats", "0-4 1-3 5", "0-4 1-3 5"),
    ],
)
def test_orders(form: str, says: str, head: str, out_head: str) -> None:
    source = tune(form)
    order = running_order(source)

    def numbers(text: str) -> list[int]:
        spans = [word.partition("-") for word in text.split()]
        return [
            number
            for first, _, last in spans
            for number in range(int(first), int(last or first) + 1)
        ]

    assert str(order) == f"head, open solos, {says}"
    assert [source.bars[index].number for index in order.head] == numbers(head)
    assert [source.bars[index].number for index in order.out_head] == numbers(out_head)


def test_without_solos_the_head_is_everything() -> None:
    source = tune("1-4 ToCoda 5-8 DC.Coda Coda 9-10")
    order = running_order(source, solos="none")
    assert order.head == play_order(source.bars).indices
    assert str(order) == "head"


def test_the_user_has_the_last_word() -> None:
    source = tune("1-2 Segno 3-8 Coda 9")
    order = running_order(source, solos=3, way_back=Jump.parse("D.S."))
    assert str(order) == "head, 3 solo choruses, D.S."
    assert [source.bars[index].number for index in order.out_head][:2] == [3, 4]
    with pytest.raises(RunningOrderError, match="the chart has no fine"):
        running_order(source, way_back=Jump("capo", "fine"))
    with pytest.raises(RunningOrderError, match="expected 'open', 'none' or a number"):
        running_order(source, solos=0)
    with pytest.raises(RunningOrderError, match="leads nowhere"):
        Jump.parse("round again")
