"""On which line of a JSON text each value begins, so that a refusal can name it. Pure."""

import json
import re

TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[{}\[\]:,]|[^\s{}\[\]:,"]+')
Path = tuple[str | int, ...]


def lines_of(text: str) -> dict[Path, int]:
    """The line, from 1, of every value by its path, such as ("recipes", 0, "title"). text: valid JSON."""
    return _Walk(text).lines


class _Walk:
    def __init__(self, text: str):
        self.text, self.lines = text, {}
        self.tokens, self.line, self.seen = TOKEN.finditer(text), 1, 0
        self._next()
        self._value(())

    def _next(self) -> None:
        match = next(self.tokens, None)
        self.token = match.group() if match else ""
        if match:
            self.line += self.text.count("\n", self.seen, match.start())
            self.seen = match.start()

    def _value(self, path: Path) -> None:
        self.lines[path] = self.line
        opened = self.token
        self._next()
        if opened == "{":
            self._members(path)
        elif opened == "[":
            self._items(path)

    def _members(self, path: Path) -> None:
        while self.token != "}":
            name = json.loads(self.token)
            self._next()  # the colon
            self._next()
            self._value((*path, name))
            if self.token == ",":
                self._next()
        self._next()

    def _items(self, path: Path) -> None:
        place = 0
        while self.token != "]":
            self._value((*path, place))
            place += 1
            if self.token == ",":
                self._next()
        self._next()
