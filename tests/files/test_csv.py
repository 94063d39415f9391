"""CSV files as they come from phones, spreadsheets and other programs: read rightly, or all faults named."""

from pathlib import Path

import pytest

from routeplan.operation.read import read_operation
from tests.files.bring import YARDS, hives_of, places, read_hives, said

HEAD = "hive,yard,inspected,bees,brood,food,health\n"


def row(name: str, yard: str = "Creek", brood: str = "7") -> str:
    return f"{name},{yard},2026-05-04,12,{brood},4,ok\n"


def test_names_made_of_figures_stay_as_they_are(tmp_path: Path) -> None:
    """007 keeps its zeros, 1E5 is no number, NA is no gap, and a blank in between changes none of them."""
    read = read_hives(tmp_path, HEAD + "".join(map(row, ["007", "1E5", "2E3", "NA", "None", "12", "12.5"])))
    assert list(hives_of(read)) == ["007", "12", "12.5", "1E5", "2E3", "NA", "None"]
    assert "hives.csv" not in said(read)


def test_yards_called_like_nothing_are_yards_and_a_blank_name_is_a_fault(tmp_path: Path) -> None:
    yards = "yard,lat,lon,health\nNA,52.06,-2.72,ok\nNone Such,52.13,-2.72,ok\n,52.2,-2.7,ok\n"
    read = read_hives(tmp_path, HEAD + row("1", "NA"), yards=yards)
    assert places(read, "error") == [("yards.csv", 4, "yard")]
    fine = read_hives(tmp_path, HEAD + row("1", "NA") + row("2", "None Such"), yards=yards.rsplit("\n", 2)[0])
    assert {hive.yard for hive in hives_of(fine).values()} == {"NA", "None Such"}


def test_a_gap_among_numbers_leaves_names_and_matches_alone(tmp_path: Path) -> None:
    """A blank row is passed over, 7 stays 7, and the splits that name 7 and 12 find them."""
    splits = "order,count,kit,queen,from,hive\nA,1,three-frame,parent's,Creek,7\n"
    read = read_hives(tmp_path, HEAD + row("7") + ",,,,,,\n" + row("12"), splits=splits)
    operation, _ = read
    assert operation is not None, said(read, "error")
    assert [(hive.id, hive.row) for hive in operation.hives] == [("12", 4), ("7", 2)]
    assert operation.orders[0].hive == "7"
    missing = read_hives(tmp_path, HEAD + row("7.0") + row("12"), splits=splits)
    assert places(missing, "error") == [("splits.csv", 2, "hive")], "7.0 is another name, and said"


@pytest.mark.parametrize(("one", "other"), [("012", "12"), ("O1", "01"), ("Il", "11"), ("12.0", "12")])
@pytest.mark.parametrize("also", [("A-1", "A1"), ("С1", "C1")])  # the second starts with a Cyrillic letter
def test_names_that_look_alike_are_two_and_said(
    tmp_path: Path, one: str, other: str, also: tuple[str, str]
) -> None:
    for first, second in ((one, other), also):
        read = read_hives(tmp_path, HEAD + row(first) + row(second))
        assert set(hives_of(read)) == {first, second}
        assert f"“{second}” looks like “{first}” in row 2" in said(read)


def test_blanks_and_capitals_make_no_other_hive(tmp_path: Path) -> None:
    """No-break spaces, marks without width, capitals: one hive; figures that differ are a fault."""
    rows = [row(name) for name in ("C1", "c1 ", "C1\u00a0", "\u200bC1\u200e", "\ufeffC1")]
    read = read_hives(tmp_path, HEAD.replace("yard", "Yard\u00a0") + "".join(rows))
    assert list(hives_of(read)) == ["C1"]
    assert "“c1” is read as “C1”" in said(read)
    assert sorted(n for t, n, c in places(read, "warning") if c == "hive") == [3, 3, 4, 5, 6]
    differs = read_hives(tmp_path, HEAD + row("C1") + row("c1 ", brood="5"))
    assert places(differs, "error") == [("hives.csv", 3, "inspected")]
    assert "brood is 7 there and 5 here" in said(differs, "error")


def test_without_dates_two_rows_of_one_hive_that_agree_are_said_and_no_fault(tmp_path: Path) -> None:
    undated = "hive,yard,bees,brood,food,health\n"
    line = "C1,Creek,12,7,4,ok\n"
    assert list(hives_of(read_hives(tmp_path, undated + line + line))) == ["C1"]
    differs = read_hives(tmp_path, undated + line + line.replace("7", "5"))
    assert places(differs, "error") == [("hives.csv", 3, "inspected")]
    assert "brood is 7 there and 5 here" in said(differs, "error")


def test_semicolons_with_commas_and_points_as_decimal_marks(tmp_path: Path) -> None:
    yards = "yard;lat;lon;health\nCreek;52,0613;-2,7254;ok\nMill;52.1304;-2.7261;ok\n"
    operation, findings = read_hives(tmp_path, HEAD + row("1"), yards=yards)
    assert operation is not None, findings
    assert [(y.place.lat, y.place.lon) for y in operation.yards] == [(52.0613, -2.7254), (52.1304, -2.7261)]
    read = read_hives(tmp_path, HEAD + row("1"), yards=yards.replace("52,0613", "520613"))
    assert places(read, "error")[0] == ("yards.csv", 2, "lat")


def test_a_mark_at_the_start_is_no_part_of_the_first_header(tmp_path: Path) -> None:
    settings = '\ufeffday = "2026-05-06"\n'
    read = read_hives(tmp_path, "\ufeff" + HEAD + row("1"), yards="\ufeff" + YARDS, settings=settings)
    assert list(hives_of(read)) == ["1"]


def test_windows_1252_is_read_and_said(tmp_path: Path) -> None:
    yards = YARDS.replace("Creek", "O’Shea café")
    read = read_hives(tmp_path, HEAD + row("1", "O’Shea café"), yards=yards.encode("cp1252"))
    assert hives_of(read)["1"].yard == "O’Shea café"
    assert "yards.csv: is not UTF-8: it was read as Windows-1252." in said(read)
    assert "“O’Shea café” in row 2" in said(read)


@pytest.mark.parametrize("name", ["Strauß’ Hof", "CAFÉ’S", "Groß–Gerau"])
def test_windows_1252_that_might_be_utf_8_by_its_bytes(tmp_path: Path, name: str) -> None:
    data = YARDS.replace("Creek", name).encode("cp1252")
    assert name not in data.decode("utf-8"), "it can be read so, as letters nobody here uses"
    assert hives_of(read_hives(tmp_path, HEAD + row("1", name), yards=data))["1"].yard == name


@pytest.mark.parametrize("name", ["Ñandú", "Öd", "Ξένια", "Жуки", "ירוק", "蜂场", "Œuf", "Şişli"])
def test_letters_of_many_scripts_in_utf_8(tmp_path: Path, name: str) -> None:
    read = read_hives(tmp_path, HEAD + row("1", name), yards=YARDS.replace("Creek", name))
    assert hives_of(read)["1"].yard == name
    assert "UTF-8" not in said(read)


@pytest.mark.parametrize("way", ["utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-8-sig"])
def test_other_ways_to_write_text(tmp_path: Path, way: str) -> None:
    yards = YARDS.replace("Creek", "Łąka 蜂场").replace(",", "\t")
    read = read_hives(tmp_path, HEAD + row("1", "Łąka 蜂场"), yards=yards.encode(way))
    assert hives_of(read)["1"].yard == "Łąka 蜂场"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"hive,yard\n\xc3\xa9,\xe9\n", "UTF-8 text with other signs"),
        (b"hive,yard\n\x81,x\n", "neither UTF-8 nor Windows-1252"),
        (b"hive,yard\nA\x00B,x\n", "not a text file (line 2"),
        ("hive,yard\nO\x92Shea,x\n".encode(), "not a text file (line 2"),
        (b"\xff\xfeh\x00i", "not UTF-16-LE text (byte 3)"),
    ],
)
def test_what_is_no_text_is_refused(tmp_path: Path, data: bytes, words: str) -> None:
    read = read_hives(tmp_path, data)
    assert read[0] is None
    assert words in said(read, "error")


def test_a_first_line_that_says_what_parts_the_cells(tmp_path: Path) -> None:
    for sign in ";|\t,":
        text = f"sep={sign}\n" + (HEAD + row("1") + row("2", brood="x")).replace(",", sign)
        read = read_hives(tmp_path, text)
        assert places(read, "error") == [("hives.csv", 3, "brood")], "a spreadsheet does not count that line"


def test_line_breaks_in_quotation_marks_belong_to_the_cell(tmp_path: Path) -> None:
    text = HEAD.replace("health", "note") + '1,Creek,2026-05-04,12,7,4,"ring first,\nthen ""honk"""\n'
    read = read_hives(tmp_path, text + row("2", brood="x"))
    assert places(read, "error") == [("hives.csv", 3, "brood")]
    assert hives_of(read_hives(tmp_path, text))["1"].note == 'ring first,\nthen "honk"'


def test_a_title_above_and_totals_below_are_left_out_and_said(tmp_path: Path) -> None:
    text = "Bees of 2026,,,,,,\n,,,,,,\n" + HEAD + row("1") + row("2") + "Total,,,24,14,8,\n"
    read = read_hives(tmp_path, text)
    assert list(hives_of(read)) == ["1", "2"]
    assert "row 1: Row 1 stands above the headers and is not read." in said(read)
    assert "row 6: “Total” is read as a total" in said(read)


@pytest.mark.parametrize("label", ["TOTALS", "Sum:", "Average", "Creek total", "Grand Total", "Subtotal"])
def test_rows_that_sum_up(tmp_path: Path, label: str) -> None:
    read = read_hives(tmp_path, HEAD + row("1") + f"{label},,,24,14,8,\n")
    assert list(hives_of(read)) == ["1"]
    assert f"“{label}” is read as a total" in said(read)


def test_a_hive_whose_name_only_holds_such_a_word_is_a_hive(tmp_path: Path) -> None:
    read = read_hives(tmp_path, HEAD + row("Total Eclipse") + row("Meanwhile") + row("Summer"))
    assert list(hives_of(read)) == ["Meanwhile", "Summer", "Total Eclipse"]


def test_headers_in_two_rows_and_units_under_them(tmp_path: Path) -> None:
    head = "Hive,Yard,Inspected,Strength,,,Health\n,,,bees,brood,food,\n,,yyyy-mm-dd,frames,frames,frames,\n"
    read = read_hives(tmp_path, head + row("1") + row("2", brood="x"))
    assert places(read, "error") == [("hives.csv", 5, "brood")]
    assert "row 3: “yyyy-mm-dd” is read as a row of units, and left out." in said(read)
    assert hives_of(read_hives(tmp_path, head + row("1")))["1"].count.brood == 7


def test_headers_once_more_on_the_next_page(tmp_path: Path) -> None:
    read = read_hives(tmp_path, HEAD + row("1") + HEAD + row("2"))
    assert list(hives_of(read)) == ["1", "2"]
    assert "the headers once more" in said(read)


def test_a_column_that_is_there_twice_is_a_fault_under_any_of_its_names(tmp_path: Path) -> None:
    for other in ("brood", "Brood frames", "Total brood (frames)"):
        read = read_hives(tmp_path, HEAD.replace("health", other) + row("1").replace("ok", "6"))
        assert places(read, "error") == [("hives.csv", None, other)]


def test_other_words_of_the_trade_are_headers_too(tmp_path: Path) -> None:
    head = "Colony No.,Apiary,Date inspected,Seams of bees,Frames of brood,Stores (frames),Disease status\n"
    hive = hives_of(read_hives(tmp_path, head + row("1")))["1"]
    assert (hive.yard, hive.count.bees, hive.count.brood, hive.count.food) == ("Creek", 12, 7, 4)
    assert (str(hive.count.inspected), hive.health) == ("2026-05-04", "clear")


def test_a_unit_in_brackets_that_is_not_the_column_s_is_not_passed_over(tmp_path: Path) -> None:
    pairs = "yard,other,drive (h)\nCreek,Mill,0.5\n"
    read = read_hives(tmp_path, HEAD + row("1"), pairs=pairs)
    assert ("pairs.csv", None, "drive (h)") in places(read, "warning")


@pytest.mark.parametrize("header", ["brood %", "brood (%)", "% brood", "Brood [ % ]"])
def test_a_share_is_no_number_of_frames(tmp_path: Path, header: str) -> None:
    read = read_hives(tmp_path, HEAD.replace("brood", header) + row("1", brood="60"))
    assert hives_of(read)["1"].count.brood is None
    assert ("hives.csv", None, header) in places(read, "warning")
    mites = read_hives(
        tmp_path / "mites", HEAD.replace("health", "health,mites (%)") + row("1")[:-1] + ",3\n"
    )
    assert hives_of(mites)["1"].count.mites_per_100 == 3


def test_files_under_other_names(tmp_path: Path) -> None:
    """Known by another word of the trade, or by their columns alone where only one can be meant."""
    read_hives(tmp_path, HEAD + row("1"))
    (tmp_path / "hives.csv").rename(tmp_path / "Colonies.csv")
    (tmp_path / "splits.csv").rename(tmp_path / "spring plan.csv")
    read = read_operation(tmp_path)
    assert list(hives_of(read)) == ["1"]
    assert "spring plan.csv: is read as the table splits, by its columns." in said(read)
    (tmp_path / "old plan.csv").write_bytes((tmp_path / "spring plan.csv").read_bytes())
    two = read_operation(tmp_path)
    assert two[0] is None
    assert "by their columns these may be: old plan.csv, spring plan.csv" in said(two, "error")


@pytest.mark.parametrize(
    "text",
    [
        *("#REF!", "#N/A", "#DIV/0!", "Err:502", "#NAME?", "#WERT!", "#NV", "#N/D", "#ÜBERLAUF!", "#NOM?"),
        *("#¡VALOR!", "#¿NOMBRE?", "#GETTING_DATA", "#####"),
    ],
)
def test_faults_of_the_spreadsheet_s_own_are_faults_here(tmp_path: Path, text: str) -> None:
    read = read_hives(tmp_path, HEAD + row("1", brood=text))
    assert places(read, "error") == [("hives.csv", 2, "brood")]
    assert f"“{text}” is a fault of the spreadsheet's own" in said(read, "error")
    assert places(read_hives(tmp_path / "name", HEAD + row(text)), "error") == [("hives.csv", 2, "hive")]
    assert set(hives_of(read_hives(tmp_path / "no", HEAD + row("#3") + row("#A")))) == {"#3", "#A"}


def test_names_a_spreadsheet_has_changed_are_said(tmp_path: Path) -> None:
    read = read_hives(tmp_path, HEAD + row("1.00E+05") + row("02-Jan") + row("2026-02-01"))
    assert len(hives_of(read)) == 3
    assert "such as 1E5" in said(read)
    assert "such as 1-2" in said(read)


def test_one_text_that_cannot_be_read_is_said_once_with_all_its_rows(tmp_path: Path) -> None:
    read = read_hives(tmp_path, HEAD + "".join(row(str(i), brood="many") for i in range(1, 10)))
    (fault,) = (f for f in read[1] if f.level == "error")
    assert (fault.row, fault.column, fault.found) == (2, "brood", "many")
    assert "also rows 3, 4, 5, 6, 7 and 3 more" in fault.message


@pytest.mark.parametrize("text", ["4½", "4 1/2", '"4,5"', "4.5", "4\u00a0½"])
def test_four_and_a_half_frames_in_every_way(tmp_path: Path, text: str) -> None:
    assert hives_of(read_hives(tmp_path, HEAD + row("1", brood=text)))["1"].count.brood == 4.5


def test_what_is_text_before_a_formula_sign_reads_back(tmp_path: Path) -> None:
    read = read_hives(tmp_path, HEAD + row("'-4") + row("'t Veld"))
    assert set(hives_of(read)) == {"-4", "'t Veld"}


def test_a_list_typed_on_a_phone(tmp_path: Path) -> None:
    """A .txt that is called like a table is one; another lies there for other reasons."""
    read_hives(tmp_path, (HEAD + row("1")).replace(",", ";"))
    (tmp_path / "hives.csv").rename(tmp_path / "Hives.txt")
    (tmp_path / "shopping.txt").write_text("sugar")
    assert list(hives_of(read_operation(tmp_path))) == ["1"]


def test_a_table_under_its_own_name_goes_before_one_under_another(tmp_path: Path) -> None:
    read = read_hives(tmp_path, HEAD + row("1"), inspections=HEAD + row("2"))
    assert list(hives_of(read)) == ["1"]
    assert "inspections.csv: is not used: the table hives is read from hives.csv." in said(read)


def test_letters_another_program_spoilt_are_named(tmp_path: Path) -> None:
    spoilt = "café Häuser".encode().decode("cp1252")
    assert f"“{spoilt}” was read in the wrong way" in said(read_hives(tmp_path, HEAD + row(spoilt)))
    assert "wrong way" not in said(read_hives(tmp_path / "b", HEAD + row("café Häuser")))


def test_a_yard_nearly_written_right_is_asked_about(tmp_path: Path) -> None:
    read = read_hives(tmp_path, HEAD + row("1", "Crek"))
    assert places(read, "error") == [("hives.csv", 2, "yard")]
    assert "Did you mean “Creek”?" in said(read, "error")


def test_settings_in_windows_1252_do_not_switch_the_rules_off(tmp_path: Path) -> None:
    settings = 'day = "2026-05-06"\ntitle = "O’Shea’s bees"\n'.encode("cp1252")
    read = read_hives(tmp_path, HEAD + row("1", "Nowhere"), settings=settings)
    assert places(read, "error") == [("hives.csv", 2, "yard")]
    assert "settings.toml: is not UTF-8: it was read as Windows-1252." in said(read)


def test_every_table_may_spell_a_yard_or_hive_in_other_letters(tmp_path: Path) -> None:
    frames = "yard,hive,number,capped\ncreek ,C1,1,8\n"
    splits = "order,count,kit,queen,from,hive,to\nA,1,Three-Frame,parent's,CREEK,C1,mill\n"
    pairs = "yard,other,drive_min\nCREEK,MILL,20\n"
    weather = "date,yard,max_c\n2026-05-06,creek,18\n"
    read = read_hives(tmp_path, HEAD + row("c1"), frames=frames, splits=splits, pairs=pairs, weather=weather)
    operation, _ = read
    assert operation is not None, said(read, "error")
    order = operation.orders[0]
    assert (order.kit, order.from_yard, order.hive, order.to_yard) == ("three-frame", "Creek", "c1", "Mill")
    assert (operation.pairs[0].yard, operation.pairs[0].other) == ("Creek", "Mill")
    assert (operation.frames[0].yard, operation.frames[0].hive) == ("Creek", "c1")
    assert said(read).count("is read as") == 9
