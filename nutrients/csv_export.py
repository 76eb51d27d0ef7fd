"""Tables as CSV files to download: UTF-8, a comma between cells."""

from collections.abc import Iterable, Sequence

from django.http import HttpResponse

from nutrients.csv_text import csv_lines


def csv_response(filename: str, header: Sequence[str], rows: Iterable[Sequence[object]]) -> HttpResponse:
    """A table to download; unknown is an empty cell."""
    headers = {"Content-Disposition": f'attachment; filename="{filename}"'}
    return HttpResponse(
        "".join(csv_lines(header, rows)), content_type="text/csv; charset=utf-8", headers=headers
    )
