"""What stands in each messy file, as a grower would have typed it.

Invented records of an invented nursery: every plant stand, tray and number is made
up. ``make_corpus.py`` writes the files; ``expected.txt`` says, cell by cell, which
faults and which changes each of them must give.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import Any

Rows = list[list[Any]]


@dataclass(frozen=True, kw_only=True)
class Case:
    """One file: its text, or its sheets.

    ``made_with`` is "text", "openpyxl", or "office": a sheet of text or a workbook
    that LibreOffice has opened and saved again as .xlsx. A cell of a workbook may be
    (value, number format). ``settings`` are given beside the file.
    """

    name: str
    why: str
    text: str = ""
    encoding: str = "utf-8"
    sheets: dict[str, Rows] = field(default_factory=dict)
    made_with: str = "text"
    settings: dict[str, Any] = field(default_factory=dict)
    sheet: str | None = None


def csv(name: str, why: str, text: str, **more: Any) -> Case:
    """A file of text; the first new line of the text is not part of it."""
    return Case(name=name, why=why, text=text.removeprefix("\n"), **more)


def book(name: str, why: str, sheets: dict[str, Rows] | Rows, **more: Any) -> Case:
    """A workbook written by openpyxl."""
    named = sheets if isinstance(sheets, dict) else {"bench": sheets}
    return Case(name=name, why=why, sheets=named, **{"made_with": "openpyxl", **more})


def day(month: int, number: int, year: int = 2026) -> dt.datetime:
    """A day as a workbook holds it."""
    return dt.datetime(year, month, number)


SHORT = {"names": {"jelena": "Hamamelis x intermedia 'Jelena'", "virg": "Hamamelis virginiana"}}

TEXT_CASES = (
    csv("01_clean.csv", "a sound sheet", """
season,tray,scion,understock,method,graft_date,grafted,count_date,taken
2026,T1,Hamamelis × intermedia 'Jelena',Hamamelis virginiana,cleft,2026-01-20,25,2026-06-15,21
2026,T2,Hamamelis × intermedia 'Jelena',Hamamelis virginiana,side veneer,2026-01-20,25,2026-06-15,23
"""),
    csv("02_title_above.csv", "a title and a blank row above the header, synonyms, short words", """
Quern Hollow (invented), bench book winter 2025/26,,,,
,,,,,
Tray No.,Rootstock,Graft type,Grafts made,Date counted,Alive
12,Hamamelis virginiana,SV,25,15 June 2026,19
13,Hamamelis virginiana,W&T,25,15 June 2026,20
14,Hamamelis virginiana,Cleft graft,25,,
"""),
    csv("03_semicolons_decimal_comma.csv", "semicolons and decimal commas", """
tray;stock caliper (mm);scion caliper (mm);grafted;taken
A1;9,5;8,25;20;17
A2;10;9,0;20;18
A3;1,2 cm;9;20;16
"""),
    csv("04_tabs.tsv", "tabs, and spaces round the text", """
tray\tmethod\tgrafter\tgrafted\ttaken
A1\t cleft\tRB\t20\t17
A2\tcleft \tRB\t20 \t18
A3\tcleft\t RB \t20\t19
"""),
    csv("05_windows_1252.csv", "saved on an old machine: accents and the sign of a hybrid", """
tray,scion,understock,grafted,taken
A1,Hamamelis × intermedia 'Lumière',Hamamelis virginiana,20,17
A2,Hamamelis × intermedia ‘Lumière’,Hamamelis virginiana,20,18
""", encoding="cp1252"),
    csv("06_utf16.csv", "saved as Unicode text", """
tray\tmethod\tgrafted\ttaken
A1\tcleft\t20\t17
A2\tcleft\t20\t38?
""", encoding="utf-16"),
    csv("07_utf8_mark.csv", "a mark in front of UTF-8", """
tray,method,grafted,taken
A1,cleft,20,all
A2,cleft,20,18
""", encoding="utf-8-sig"),
    csv("08_uncertain_counts.csv", "counts that are not numbers", """
tray,method,grafted,taken,missing
A1,cleft,20,17?,0
A2,cleft,20,~15,0
A3,cleft,20,all,0
A4,cleft,20,none,0
A5,cleft,20,85%,0
A6,cleft,20,12.5,0
A7,cleft,20,-3,0
A8,cleft,20,17,-
A9,cleft,20,16 of 20,0
A10,cleft,20,18,0
"""),
    csv("09_inch_fractions.csv", "inches in many hands", """
tray,stock caliper,scion caliper,grafted,taken
A1,3/8,3/8",20,17
A2,3/8 in,5/16 inch,20,17
A3,1 1/2 in,1-1/2 in,20,17
A4,½ in,½″,20,17
A5,0.375 in,.375 in,20,17
A6,9.5 mm,9.5mm,20,17
A7,0.95 cm,9.5 millimetres,20,17
A8,9.5,8,20,17
"""),
    csv("10_odd_calipers.csv", "calipers that are none", """
tray,stock caliper (in),grafted,taken
A1,3/8,20,17
A2,pencil,20,17
A3,1/4 - 3/8,20,17
A4,8-Mar,20,17
A5,0,20,17
A6,9.5,20,17
A7,3/0,20,17
A8,10 mm,20,17
"""),
    csv("11_totals.csv", "totals, means and a remark among the rows", """
tray,method,grafted,taken
A1,cleft,20,17
A2,cleft,20,15
Total,,40,32
A3,SV,20,18
A4,SV,20,19
Totals for SV,,40,37
Average,,20,17.3
kept under fleece,,,
Grand total:,,80,69
"""),
    csv("12_header_again.csv", "the header repeated at the top of each page", """
Tray,Method,Grafted,Taken
A1,cleft,20,17
A2,cleft,20,15
Tray,Method,Grafted,Taken
A3,cleft,20,18
"""),
    csv("13_fill_down.csv", "blanks that mean as above, by choice", """
season,scion,method,tray,grafted,taken
2026,jelena,cleft,A1,20,17
,,,A2,20,15
,,SV,A3,20,18
,,,A4,20,
""", settings={**SHORT, "fill_down": True}),
    csv("14_blanks_stay.csv", "the same blanks without that choice", """
season,method,tray,grafted,taken
2026,cleft,A1,20,17
,,A2,20,15
,SV,A3,20,18
"""),
    csv("15_ambiguous_dates.csv", "figures that may be day or month first", """
tray,date grafted,grafted,date counted,taken
A1,3/2/2026,20,15/6/2026,17
A2,3.2.26,20,2026-06-15,15
A3,13/2/2026,20,15 June 2026,18
A4,30/2/2026,20,June 2026,18
"""),
    csv("16_day_first.csv", "the same, and the settings give the order", """
tray,date grafted,grafted,date counted,taken
A1,3/2/2026,20,15/6/2026,17
A2,3.2.26,20,2026-06-15,15
A3,13/2/2026,20,15 June 2026,18
""", settings={"date_order": "day first"}),
    csv("17_order_in_header.csv", "the header gives the order of the figures", """
tray,date grafted (mm/dd/yyyy),grafted,count date (mm/dd/yyyy),taken
A1,02/03/2026,20,06/15/2026,17
A2,2/10/2026,20,6/15/2026,15
"""),
    csv("18_odd_dates.csv", "dates that are none, or out of order", """
tray,scion cut,date grafted,grafted,count date,taken
A1,2026-01-02,2026-02-03,20,2026-06-15,17
A2,2026-02-10,2026-02-03,20,2026-06-15,17
A3,2026-01-02,2026-02-03,20,2026-01-15,17
A4,2026-01-02,3 Feb,20,2026-06-15,17
A5,2026-01-02,week 6,20,2026-06-15,17
A6,2026-01-02,46056,20,2026-06-15,17
A7,2026-01-02,2026-02-03,20,2062-06-15,17
A8,2026-01-02,2206-02-03,20,2026-06-15,17
A9,2026-01-02,2026-02-31,20,2026-06-15,17
A10,Jan 2026,Feb 2026,20,2026-06-15,17
A11,2026-01-02,2026-02-03,20,2026-06-15,
"""),
    csv("19_methods.csv", "what a method is called", """
tray,method,grafted,taken
A1,whip,20,17
A2,budding,20,17
A3,side,20,17
A4,Top cleft,20,17
A5,spliced-side,20,17
A6,chip budding,20,17
A7,clefft,20,17
A8,clefft,20,17
A9,Fenland tuck,20,17
A10,side_veneer,20,17
"""),
    csv("20_own_methods.csv", "the nursery's own words in the settings", """
tray,method,grafted,taken
A1,whip,20,17
A2,Fenland tuck,20,17
A3,FENLAND TUCK,20,16
""", settings={"methods": {"whip": "splice", "fenland tuck": "fenland tuck"}}),
    csv("21_plant_names.csv", "one plant in many spellings", """
tray,scion,understock,grafted,taken
A1,Hamamelis x intermedia 'Jelena',Hamamelis virginiana,20,17
A2,Hamamelis × intermedia ‘Jelena’,hamamelis virginiana,20,17
A3,Hamamelis × intermedia 'JELENA',HAMAMELIS VIRGINIANA,20,17
A4,Hamamelis X intermedia cv. Jelena,Hamamelis virginiana,20,17
A5,Hamamelis × intermedia 'Jeléna',Hamamelis  virginiana,20,17
A6,Hamamelis japonica var. arborea,Hamamelis sp.,20,17
"""),
    csv("22_short_names.csv", "short names, one of them not in the settings", """
tray,scion,understock,grafted,taken
A1,Jelena,virg,20,17
A2,jelena,Virg,20,17
A3,jelenna,virg,20,17
A4,jelenna,virg,20,17
A5,pallida,virg,20,17
""", settings=SHORT),
    csv("23_short_names_unsettled.csv", "short names and no settings", """
tray,scion,understock,grafted,taken
A1,our red one,virg,20,17
A2,our red one,virg,20,17
A3,Our Red One,virg,20,17
"""),
    csv("24_scion_on_stock.csv", "both plants in one cell", """
tray,combination,grafted,taken
A1,Hamamelis mollis on Hamamelis virginiana,20,17
A2,Hamamelis mollis / Hamamelis virginiana,20,17
A3,jelena on virg,20,17
A4,jelena/virg,20,17
""", settings=SHORT),
    csv("25_two_understocks.csv", "the understock told twice", """
tray,scion,understock,grafted,taken
A1,Hamamelis mollis on Hamamelis virginiana,Hamamelis virginiana,20,17
A2,Hamamelis mollis on Parrotia persica,Hamamelis virginiana,20,17
A3,Hamamelis mollis,Parrotia persica,20,17
"""),
    csv("26_words.csv", "words of the short lists", """
tray,scion wood,sealed,caliper match,relation,grafted,taken
A1,tip,y,same,congeneric,20,17
A2,Sub-terminal,WAXED,thinner,other family,20,17
A3,middle,no,scion thicker,same genus,20,17
A4,terminall,maybe,matched,cousin,20,17
"""),
    csv("27_sums.csv", "numbers that contradict each other", """
tray,tray size,grafted,taken,stock dead,missing,saleable,saleable date,defects
A1,24,20,21,0,0,,,
A2,24,20,17,4,0,,,
A3,24,20,17,2,2,,,
A4,24,20,17,2,1,18,2026-10-01,
A5,24,20,17,2,1,15,2026-10-01,18
A6,24,25,17,2,1,,2026-10-01,
A7,24,20,17,2,1,15,2026-10-01,1
A8,24,0,0,,,,,
"""),
    csv("28_long_counts.csv", "a row for each count, and the treatment once", """
tray,method,grafted,count,count date,alive,stock dead
A1,cleft,20,1st count,2026-04-01,19,0
A2,SV,20,1st count,2026-04-01,18,1
A1,,,settled,2026-06-15,17,1
A2,,,settled,2026-06-15,16,1
A1,,,end of season,2026-10-01,18,1
A2,,,end of season,2026-10-01,16,2
"""),
    csv("29_long_contradictions.csv", "later counts that contradict the first", """
tray,method,bench,grafted,count,count date,alive
A1,cleft,north,20,first,2026-04-01,19
A2,SV,north,20,first,2026-04-01,18
A3,SV,north,20,first,2026-04-01,18
A1,splice,north,20,settled,2026-06-15,17
A2,SV,south,20,settled,2026-06-15,16
A3,SV,north,22,settled,2026-06-15,16
A3,SV,north,20,midsummer,2026-07-15,16
"""),
    csv("30_parts_of_a_tray.csv", "two treatments in one tray, counted twice", """
tray,method,stock caliper,grafted,count,alive
A1,cleft,6,10,first,9
A1,cleft,9,10,first,8
A2,cleft,6,10,first,9
A2,SV,6,10,first,9
A1,cleft,6,10,settled,8
A1,cleft,9,10,settled,7
A2,cleft,,,settled,8
A2,,6,,settled,7
"""),
    csv("31_duplicates.csv", "rows told twice, and a tray in two places", """
tray,bench,method,grafted,taken
A1,north,cleft,20,17
A2,north,cleft,20,16
A1,north,cleft,20,17
A2,north,cleft,20,15
A3,north,cleft,20,15
A3,south,SV,20,15
"""),
    csv("32_single_grafts.csv", "one row per graft", """
tray,graft,method,taken,stock dead
A1,1,cleft,yes,
A1,2,cleft,no,yes
A1,3,cleft,1,0
A1,4,cleft,,
A1,5,cleft,2,0
A2,1,SV,1,0
A2,2,SV,dead,0
A2,2,SV,1,0
"""),
    csv("33_not_counted_yet.csv", "half the season is still to count", """
tray,method,date grafted,grafted,count date,taken
A1,cleft,2026-02-03,20,2026-06-15,17
A2,cleft,2026-02-03,20,,
A3,cleft,2026-02-10,20,2026-06-15,
A4,cleft,2026-02-10,,,
"""),
    csv("34_cuttings.csv", "cuttings beside grafts", """
tray,made by,scion,understock,method,struck,rooted
A1,cuttings,Hamamelis mollis,,,40,11
A2,graft,Hamamelis mollis,Hamamelis virginiana,cleft,20,17
A3,cutting,Hamamelis mollis,Hamamelis virginiana,,40,12
"""),
    csv("35_percent_only.csv", "a percent and no count", """
tray,method,grafted,take %
A1,cleft,20,85
A2,cleft,20,80
"""),
    csv("36_percent_beside.csv", "a percent beside the counts is kept", """
tray,method,grafted,taken,take %
A1,cleft,20,17,85
A2,cleft,20,16,80
"""),
    csv("37_no_trays.csv", "no tray was recorded, by choice", """
method,grafted,taken
cleft,240,156
SV,240,207
""", settings={"trays": "none"}),
    csv("38_no_tray_column.csv", "no tray was recorded, and nobody said so", """
method,grafted,taken
cleft,240,156
SV,240,207
"""),
    csv("39_decimal_comma_in_commas.csv", "a decimal comma in a file parted by commas", """
tray,stock caliper,grafted,taken
A1,9,20,17
A2,9,5,20,17
A3,"9,5",20,17
"""),
    csv("40_words_for_blank.csv", "blanks that are written out, or drawn", """
tray,block,grafter,method,grafted,taken
A1,1,RB,cleft,20,17
A2,-,RB,cleft,20,16
A3,1,n/a,NA,20,N/A
A4,1,?,cleft,20,18
A5,1,rb,cleft,20,18
"""),
    csv("41_seasons.csv", "one season in several hands", """
season,tray,grafted,count date,taken
2025-26,A1,20,2026-06-15,17
2025/26,A2,20,2026-06-15,17
2026,A3,20,2026-06-15,17
2025/2026,A4,20,2026-06-15,17
last winter,A5,20,2026-06-15,17
2025-26,A6,20,2025-06-15,17
,A7,20,2026-06-15,17
"""),
    csv("42_size_classes.csv", "size classes of the settings", """
tray,size class,stock caliper,grafted,taken
A1,Thin,7,20,17
A2,stout,9,20,17
A3,stout,7,20,17
A4,middling,,20,17
A5,,9.5,20,17
""", settings={"classes": {"thin": "6 to 8 mm", "stout": "8 to 10 mm"}}),
    csv("43_heights.csv", "union heights measured and told", """
tray,union height (cm),grafted,taken
A1,low,20,17
A2,High,20,17
A3,15,20,17
A4,high,20,17
A5,knee high,20,17
"""),
    csv("44_unclear_header.csv", "a date of what?", """
tray,date,grafted,taken,weather
A1,3 Feb 2026,20,17,wet
A2,4 Feb 2026,20,16,dry
"""),
    csv("45_two_columns.csv", "two columns for one thing", """
tray,grafted,taken,alive
A1,20,17,17
A2,20,16,15
"""),
    csv("46_later_twice.csv", "a later count told in two ways", """
tray,grafted,count,count date,taken,alive later,later count date
A1,20,settled,2026-06-15,17,16,2026-09-01
A2,20,settled,2026-06-15,17,16,2026-09-01
A1,20,later,2026-09-01,15,,
A2,20,later,2026-09-01,16,,
"""),
    csv("47_lone_cells.csv", "a tray that is not grafted yet, and remarks", """
tray,method,grafted,taken
Week 3,,,
A1,cleft,20,17
A2,cleft,20,16
A3,,,
moved to the tunnel in March,,,
A4,SV,20,18
A5,SV,20,18
"""),
    csv("48_counts_of_two_months.csv", "headers that name the month of the count", """
tray,made,alive June,alive Sept
A1,20,17,16
"""),
    csv("49_tray_numbers_only.csv", "a list of trays printed before grafting", """
tray,method,grafted,taken
A1,,,
A2,,,
A3,cleft,20,
"""),
)  # fmt: skip

HEADER = ["Tray", "Graft type", "Stock caliper", "Date grafted", "Grafted", "Count date", "Taken"]

BOOK_CASES = (
    book("50_plain.xlsx", "numbers and days as a workbook holds them", [
        HEADER,
        [1, "SV", 9.5, day(2, 3), 20, day(6, 15), 17],
        [2, "cleft", "3/8", day(2, 3), 20, day(6, 15), 18],
        [3, "cleft", 10, day(2, 4), 20, None, None],
    ]),
    book("51_turned_to_dates.xlsx", "a fraction and a tray name that became dates", [
        HEADER,
        ["A1", "cleft", (day(3, 8), "d-mmm"), day(2, 3), 20, day(6, 15), 17],
        [(day(1, 4), "d-mmm"), "cleft", 9, day(2, 3), 20, day(6, 15), 18],
        ["A3", "cleft", (day(3, 1, 2008), "mmm-yy"), day(2, 4), 20, day(6, 15), 19],
        ["A4", "cleft", 9, day(2, 4), 20, day(6, 15), (day(8, 12), "d-mmm")],
    ]),
    book("52_months.xlsx", "dates of which the sheet shows the month", [
        HEADER,
        ["A1", "cleft", 9, (day(2, 1), "mmm-yy"), 20, (day(6, 1), "mmmm yyyy"), 17],
        ["A2", "cleft", 9, "Feb 2026", 20, day(6, 15), 18],
        ["A3", "cleft", 9, (day(2, 3), "dd/mm/yyyy"), 20, dt.datetime(2026, 6, 15, 9, 30), 18],
    ]),
    book("53_percents.xlsx", "percents that the workbook holds as shares", [
        HEADER,
        ["A1", "cleft", 9, day(2, 3), 20, day(6, 15), (0.85, "0%")],
        ["A2", "cleft", 9, day(2, 3), 20, day(6, 15), 0.8],
        ["A3", "cleft", 9, day(2, 3), 20, day(6, 15), 18],
    ]),
    book("54_formulas_without_results.xlsx", "formulas that nobody has let calculate", [
        ["tray", "grafted", "failed", "taken"],
        ["A1", 20, 3, "=B2-C2"],
        ["A2", 20, 4, "=B3-C3"],
        ["A3", 20, 5, 15],
    ]),
    book("55_weeks.xlsx", "one sheet a week, and a sheet of prices", {
        "week 2": [HEADER, ["A1", "SV", 9, day(1, 12), 20, day(6, 15), 17],
                   ["A2", "SV", 9, day(1, 13), 20, day(6, 15), "18?"]],
        "week 3": [["Week of 19 January"], [], HEADER,
                   ["A3", "SV", 9, day(1, 19), 20, day(6, 15), 17],
                   ["A1", "SV", 9, day(1, 12), 20, day(6, 15), 17]],
        "prices": [["pot", 0.4], ["wax", 2]],
    }),
    book("56_one_sheet_by_name.xlsx", "two shapes in one workbook, one sheet named", {
        "trays": [["tray", "grafted", "taken"], ["A1", 20, 17], ["A2", 20, "all"]],
        "grafts": [["tray", "graft", "taken"], ["A1", 1, 1], ["A1", 2, 0]],
    }, sheet="trays"),
    book("57_trial_sheet.xlsx", "settings beside the records", {
        "trial": [["what", "value"], ["title", "Cleft or veneer"], ["invented", True],
                  ["date_order", "day first"], ["names.jelena", "Hamamelis x intermedia 'Jelena'"],
                  ["methods.whip", "splice"]],
        "bench": [["tray", "scion", "method", "date grafted", "grafted", "taken"],
                  ["A1", "Jelena", "whip", "3/2/2026", 20, 17],
                  ["A2", "jelena", "SV", "4/2/2026", 20, 16]],
    }),
    book("58_errors_and_yes.xlsx", "errors of the sheet, yes and no, merged cells", [
        ["tray", "sealed", "method", "grafted", "taken"],
        ["A1", True, "cleft", 20, "#REF!"],
        ["A2", False, "cleft", "#DIV/0!", 17],
        ["A3", True, "#N/A", 20, 17],
    ]),
    book("59_text_numbers.xlsx", "numbers kept as text, spaces of a web page", [
        ["tray ", "method", "grafted", " taken"],
        ["A1\u00a0", "cleft", "20", "17 "],
        ["A2", "cleft\u200b", "20.0", "18"],
        ["A3", "cleft", 20.0, "16"],
    ]),
    book("60_office_fractions.xlsx", "text that LibreOffice turned into dates", [
        ["tray", "stock caliper", "date grafted", "grafted", "taken"],
        ["A1", "3/8", "2026-02-03", "20", "17"],
        ["A2", "9.5", "2026-02-03", "20", "16"],
        ["1/4", "9.5", "2026-02-03", "20", "16"],
        ["A4", '3/8"', "2026-02-03", "20", "16"],
    ], made_with="office text"),
    book("61_office_percents.xlsx", "percents typed into LibreOffice", [
        ["tray", "method", "grafted", "taken"],
        ["A1", "cleft", "20", "85%"],
        ["A2", "cleft", "20", "16"],
        ["A3", "SV", "20", "15?"],
    ], made_with="office text"),
    book("62_office_formulas.xlsx", "formulas that LibreOffice has calculated", [
        ["tray", "grafted", "failed", "taken"],
        ["A1", 20, 3, "=B2-C2"],
        ["A2", 20, 4, "=B3-C3"],
        ["A3", 20, 5, "=B4/(C4-5)"],
        ["Total", "=SUM(B2:B4)", "=SUM(C2:C4)", "=SUM(D2:D3)"],
    ], made_with="office"),
    book("63_office_weeks.xlsx", "one sheet a week, saved by LibreOffice", {
        "week 2": [HEADER, ["A1", "SV", 9, day(1, 12), 20, day(6, 15), 17],
                   ["A2", "whip", 9, day(1, 13), 20, day(6, 15), 18]],
        "week 3": [HEADER, ["A3", "SV", (day(3, 8), "d-mmm"), day(1, 19), 20, day(6, 15), 17],
                   ["A4", "SV", 9, (day(1, 1), "mmm-yy"), 20, day(6, 15), 16]],
    }, made_with="office"),
    book("64_office_long.xlsx", "the long shape, saved by LibreOffice", [
        ["Counts of winter 2025/26 (invented)"],
        [],
        ["tray", "method", "grafted", "count", "count date", "alive"],
        ["A1", "cleft", 20, "first", day(4, 1), 19],
        ["A2", "SV", 20, "first", day(4, 1), 18],
        ["A1", None, None, "settled", day(6, 15), 17],
        ["A2", None, None, "settled", day(6, 15), 19],
    ], made_with="office"),
    book("65_office_single_grafts.xlsx", "one row per graft, saved by LibreOffice", [
        ["tray", "graft", "method", "taken"],
        ["A1", 1, "cleft", True],
        ["A1", 2, "cleft", False],
        ["A1", 3, "cleft", None],
        ["A2", 1, "SV", 1],
        ["A2", 2, "SV", 3],
    ], made_with="office"),
)  # fmt: skip

CASES: tuple[Case, ...] = (*TEXT_CASES, *BOOK_CASES)
