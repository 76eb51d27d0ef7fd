"""What came of an import, in numbers."""

from dataclasses import dataclass, field

from nutrients.usda import LeftOut


@dataclass
class Report:
    """Foods that were added, changed or the same; the values and measures in them; what was left out.

    In a dry run: what would have been.
    """

    rows: int = 0
    dry_run: bool = False
    added: int = 0
    changed: int = 0
    unchanged: int = 0
    values_added: int = 0
    values_changed: int = 0
    values_removed: int = 0
    measures_added: int = 0
    measures_changed: int = 0
    left_out: LeftOut = field(default_factory=LeftOut)

    @property
    def reasons(self) -> list[dict]:
        """Why things were left out, the most frequent first: reason, count, examples."""
        return [
            {"reason": reason, "count": count, "examples": self.left_out.examples[reason]}
            for reason, count in self.left_out.counts.most_common()
        ]

    def as_record(self) -> dict:
        """What is kept of it, ready for JSON."""
        numbers = {name: value for name, value in vars(self).items() if name != "left_out"}
        return numbers | {"left_out": self.reasons}
