"""Notes at the head of a stock file are words, whatever marks they hold."""

from __future__ import annotations

from floorplan.order.stock_csv import read_stock, write_stock

LEDGER = """# ours: 4 in, 7 in,"best
#,"

what,product,amount,unit,note
on hand,flake,60,lb,"granite, fine"
on hand,grit,5,lb,
"""


def test_quote_mark_in_a_comment_swallows_no_row() -> None:
    """A mark left open in a comment does not reach to the next mark in a row: no stock is lost."""
    stock = read_stock(LEDGER, "stock.csv")
    assert [(lot.product, lot.note) for lot in stock.lots] == [("flake", "granite, fine"), ("grit", "")]
    assert stock.comments == ('# ours: 4 in, 7 in,"best', '#,"')
    assert read_stock(write_stock(stock), "again.csv").lots == stock.lots


def test_unit_of_no_area_is_dropped() -> None:
    """A unit beside an empty cell says nothing and does not creep on at each writing."""
    head = "what,product,amount,unit,over,over_unit\n"
    stock = read_stock(f"{head}on hand,flake,60,lb,,'''\n", "stock.csv")
    assert stock.lots[0].over_unit == ""
