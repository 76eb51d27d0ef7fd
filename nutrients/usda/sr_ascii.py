"""The text files of the older Standard Reference releases (SR26 to SR28, and those laid out like them).

Fields end with a caret, text stands between tildes, Latin-1 (USDA, SR28 documentation, September 2015; from
memory). `SrAscii` reads the relational files, `SrAbbreviated` the one flat file ABBREV.txt, which has no
amino acids and no single fatty acids.
"""

import re
from collections.abc import Collection, Iterator

from nutrients.usda.archive import Archive, BadFile
from nutrients.usda.columns import Columns
from nutrients.usda.foods import Release, UsdaFood, ndb_number

FOOD_FIELDS = 14  # NDB_No FdGrp_Cd Long_Desc Shrt_Desc ComName ManufacName Survey Ref_desc Refuse ...
VALUE_FIELDS = 3  # NDB_No Nutr_No Nutr_Val, and more behind them that changed from release to release
MEASURE_FIELDS = 5  # NDB_No Seq Amount Msre_Desc Gm_Wgt ...
ABBREVIATED_FIELDS = 53
# The nutrient numbers of ABBREV.txt from its third field on (SR28 documentation, abbreviated file format).
ABBREVIATED = (
    *("255", "208", "203", "204", "207", "205", "291", "269", "301", "303", "304", "305", "306", "307"),
    *("309", "312", "315", "317", "401", "404", "405", "406", "410", "415", "417", "431", "432", "435"),
    *("421", "418", "318", "320", "319", "322", "321", "334", "337", "338", "323", "328", "324", "430"),
    *("606", "645", "646", "601"),
)
HOUSEHOLD = re.compile(r"(\d*\.?\d+) +(\D.*)")


def rows(archive: Archive, name: str, fewest: int) -> Iterator[tuple[int, list[str]]]:
    """The line number and the fields of every line, read as they are asked for.

    Raises BadFile for an open quote and for a line with other fields than the first, which needs `fewest`.
    """
    width = 0
    for number, line in enumerate(archive.lines(name, "latin-1"), 1):
        fields = line.rstrip("\r\n").split("^")
        if line.count("~") % 2:
            raise BadFile(name, number, "a text is not closed by its tilde")
        if len(fields) < fewest or (width and len(fields) != width):
            raise BadFile(name, number, f"{width or fewest} fields were expected, not {len(fields)}")
        width = len(fields)
        yield number, [field.strip("~").strip() for field in fields]


def described_foods(archive: Archive, release: Release) -> Iterator[UsdaFood]:
    """The foods of FOOD_DES.txt. Raises BadFile for a refuse that is no percentage."""
    categories = {}
    if "fd_group.txt" in archive:
        categories = dict(fields[:2] for _, fields in rows(archive, "fd_group.txt", 2))
    for line, fields in rows(archive, "food_des.txt", FOOD_FIELDS):
        number, code, description, _, _, manufacturer, _, _, refuse = fields[:9]
        if refuse and not (refuse.isdigit() and int(refuse) < 100):
            raise BadFile("food_des.txt", line, f"the refuse is no percentage: {refuse!r}")
        yield UsdaFood(
            number,
            line,
            release,
            ndb_number(number),
            description,
            code,
            categories.get(code, ""),
            refuse_percent=float(refuse) if refuse else None,
            manufacturer=manufacturer,
        )


def check_food(file: str, line: int, food: str, wanted: Collection[str], others: Collection[str]) -> bool:
    """Is the food wanted? Raises BadFile for one that FOOD_DES.txt does not have."""
    if food not in wanted and food not in others:
        raise BadFile(file, line, f"there is no food {food!r} in food_des.txt")
    return food in wanted


class SrAscii:
    foods_file = "food_des.txt"
    values_file = "nut_data.txt"
    measures_file = "weight.txt"

    def __init__(self, archive: Archive, columns: Columns):
        archive.require("food_des.txt", self.values_file, "nutr_def.txt", self.measures_file)
        self._archive = archive
        self._columns = columns

    def foods(self) -> Iterator[UsdaFood]:
        return described_foods(self._archive, Release.SR_ASCII)

    def values(self, wanted: Collection[str], others: Collection[str]) -> Iterator[tuple]:
        """Line, food, column (None: not kept here) and the amount as it is written, of the wanted foods."""
        nutrients = {
            fields[0]: self._columns.defined("nutr_def.txt", line, fields[0], fields[1])
            for line, fields in rows(self._archive, "nutr_def.txt", 4)
        }
        for line, (food, nutrient, amount, *_) in rows(self._archive, self.values_file, VALUE_FIELDS):
            if nutrient not in nutrients:
                raise BadFile(self.values_file, line, f"there is no nutrient {nutrient!r} in nutr_def.txt")
            if check_food(self.values_file, line, food, wanted, others):
                yield line, food, nutrients[nutrient], amount

    def measures(self, wanted: Collection[str], others: Collection[str]) -> Iterator[tuple]:
        """Line, food, amount, label and weight, as they are written, of the wanted foods."""
        for line, fields in rows(self._archive, self.measures_file, MEASURE_FIELDS):
            food, _, amount, label, grams = fields[:5]
            if check_food(self.measures_file, line, food, wanted, others):
                yield line, food, amount, label, grams


class SrAbbreviated:
    foods_file = "food_des.txt"
    values_file = measures_file = "abbrev.txt"

    def __init__(self, archive: Archive, columns: Columns):
        archive.require("food_des.txt", self.values_file)
        self._archive = archive
        self._columns = [columns.numbered(number) for number in ABBREVIATED]

    def foods(self) -> Iterator[UsdaFood]:
        return described_foods(self._archive, Release.SR_ABBREVIATED)

    def values(self, wanted: Collection[str], others: Collection[str]) -> Iterator[tuple]:
        """Line, food, column (None: not kept here) and the amount as it is written, of the wanted foods."""
        for line, food, fields in self._lines(wanted, others):
            for column, amount in zip(self._columns, fields[2:], strict=False):
                yield line, food, column, amount

    def measures(self, wanted: Collection[str], others: Collection[str]) -> Iterator[tuple]:
        """Line, food, amount, label and weight, as they are written, of the wanted foods.

        A line has room for two measures, each a weight and words such as "1 cup".
        """
        for line, food, fields in self._lines(wanted, others):
            for grams, words in (fields[48:50], fields[50:52]):
                if grams and words:
                    said = HOUSEHOLD.fullmatch(words)
                    yield line, food, *(said.groups() if said else ("1", words)), grams

    def _lines(self, wanted: Collection[str], others: Collection[str]) -> Iterator[tuple]:
        for line, fields in rows(self._archive, self.values_file, ABBREVIATED_FIELDS):
            if check_food(self.values_file, line, fields[0], wanted, others):
                yield line, fields[0], fields
