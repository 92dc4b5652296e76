"""How one value of the spec is read, and what its JSON Schema says: numbers, words, texts, marks.

YAML 1.1 reads 010 as eight, 12:30:00 as 45000, 1_000 as a thousand, `no` as false and
2024-05-01 as a date. None of that is meant in a frame spec, so values arrive here as
written (`Scalar`) and the field they stand in decides. Each reader below is put in a
model's `Annotated[...]`; it raises a pydantic error whose type is the fault's code.
"""

from __future__ import annotations

import difflib
import math
import re
import unicodedata
from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Any, ClassVar, Literal

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

from layout.spec import words
from layout.spec.number_hints import number_hint
from layout.spec.text import NOT_TEXT, shown
from layout.spec.tree import Scalar
from layout.spec.units import INCH, in_inches, pattern, with_unit

MAX_TEXT = 2000
"""Characters in a job field: more than any title block or note on a sheet can hold."""

_NUMBER = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?")
_LEADING_ZERO = re.compile(r"([-+]?)0+(\d+(\.\d*)?)")
_SEXAGESIMAL = re.compile(r"[-+]?\d+(:\d+)+(\.\d*)?")
_PROGRAMMER = re.compile(r"[-+]?0[xob][0-9a-fA-F_]+")
_UNDERSCORE = re.compile(r"[-+]?[\d_]+(\.[\d_]*)?")
_COMMA = re.compile(r"[-+]?\d+,\d+")
_WITH_UNIT = re.compile(r"[-+]?\d+(\.\d*)?\s*(mm|cm|m|in|inch|inches|\"|''|°|deg|degrees?|'|%)")
_INFINITE = re.compile(r"[-+]?\.?(inf|nan|infinity)", re.IGNORECASE)
_BREAK = re.compile("\r\n?|\x85")
"""Line breaks of YAML 1.1 beside the usual one, which an escape in quotation marks keeps as they are."""
_BOOLEANS = {
    **dict.fromkeys(("true", "yes", "on", "y"), True),
    **dict.fromkeys(("false", "no", "off", "n"), False),
}

Code = Literal["type", "range", "duplicate"]


def refused(code: Code, message: str) -> PydanticCustomError:
    """The error a reader raises: `message` goes on from the key ("is 'no'; expected ...")."""
    return PydanticCustomError(code, "{message}", {"message": message})


@dataclass(frozen=True)
class Described:
    """What a key says of itself: `meaning` is shown by editors, and searched for a word of the trade."""

    meaning: str = ""


@dataclass(frozen=True)
class Reader(Described, ABC):
    """Base of the readers of one value: `read` turns what stands in the file into the model's value."""

    json_type: ClassVar[Any] = "string"

    @abstractmethod
    def read(self, value: Any) -> Any:
        """The value, or a pydantic error that says what to write instead."""

    def __get_pydantic_core_schema__(
        self, _source: Any, _handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, _schema: core_schema.CoreSchema, _handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return self.json_schema()

    def json_schema(self) -> dict[str, Any]:
        """The value's JSON Schema; the description is what editors show over the key."""
        described = {"description": self.meaning} if self.meaning else {}
        return {"type": self.json_type, **described}


@dataclass(frozen=True)
class Quantity(Reader):
    """A number from `low` to `high` (both allowed) in `unit`: mm, degrees, or another word."""

    low: float = -math.inf
    high: float = math.inf
    unit: str = "mm"
    json_type: ClassVar[Any] = "number"

    @property
    def expected(self) -> str:
        """The range as messages say it.

        >>> Quantity("", 50, 85, "degrees").expected
        '50 to 85 degrees'
        """
        unit = f" {self.unit}" if self.unit else ""
        return f"{self.low:g} to {self.high:g}{unit}"

    def read(self, value: Any) -> float:
        """A finite number in range; one of mm or degrees may have its unit behind it."""
        found = self.number(value)
        if not self.holds(found):
            raise refused("range", self.refusal(found, value))
        return found

    def number(self, value: Any) -> float:
        """A finite number, in range or not."""
        if isinstance(value, Scalar) and self.unit in ("mm", "degrees"):
            stated = with_unit(value.text)
            if stated is not None and stated[1] == self.unit:
                return stated[0]
            if stated is not None:
                said = words.AN_ANGLE if stated[1] == "degrees" else words.A_LENGTH
                raise refused("type", said.format(text=shown(value.text), expected=self.expected))
        return read_number(value, self.expected)

    def holds(self, found: float) -> bool:
        """Whether a number is in range."""
        return self.low <= found <= self.high

    def refusal(self, found: float, written: Any = None) -> str:
        """What is said of a number out of range; `written` is how it stands in the file."""
        meant = self._other_unit(found)
        hint = words.CHECK_DIGITS if self.unit else words.CHECK_NUMBER
        if meant:
            hint = words.DID_YOU_MEAN.format(names=" or ".join(meant))
        with_its_unit = isinstance(written, Scalar) and with_unit(written.text) is not None
        said = f"{written.text} ({found:g} {self.unit})" if with_its_unit else f"{found:g}"
        return words.OUT_OF_RANGE.format(found=said, expected=self.expected, hint=hint)

    def _other_unit(self, found: float) -> list[str]:
        """What a number out of range may have been meant as."""
        if self.unit != "mm" or found * INCH == 0.0 or not math.isfinite(found):
            return []
        inches = [in_inches(found)] if self.holds(found * INCH) else []
        return [*inches, *([f"{found:g} cm"] if self.holds(found * 10.0) else [])]

    def json_schema(self) -> dict[str, Any]:
        """Type, bounds and meaning with unit."""
        main, default, rest = self.meaning.partition(" (default")
        note = ", ".join(part for part in (main, self.unit) if part) + default + rest
        schema = {"type": self.json_type, "minimum": self.low, "maximum": self.high, "description": note}
        if self.unit in ("mm", "degrees"):
            schema |= {"type": [self.json_type, "string"], "pattern": pattern(self.unit)}
        return schema


class Stated(float):
    """A number that says how sure it is: `agreement`, mm or degrees; None where it is as sure as all."""

    agreement: float | None = None


@dataclass(frozen=True)
class Sure(Quantity):
    """A given dimension: a number, or {value, agreement} where it is surer or less sure than the rest."""

    def read(self, value: Any) -> float:
        """The number, with its own agreement where it has one."""
        if not isinstance(value, dict):
            return super().read(value)
        strange = [key for key in value if key not in ("value", "agreement")]
        if strange or "value" not in value:
            example = _EXAMPLE[self.unit]
            said = words.STRANGE_KEY if strange else words.NO_STATED_VALUE
            raise refused("type", said.format(key=shown(str([*strange, ""][0])), example=example))
        found = Stated(super().read(value["value"]))
        if "agreement" in value:
            found.agreement = Quantity("", *_AGREEMENTS[self.unit], self.unit).read(value["agreement"])
        return found

    def json_schema(self) -> dict[str, Any]:
        """A number, a text with a unit, or a block of both keys."""
        plain = super().json_schema()
        bounds = {key: plain[key] for key in ("minimum", "maximum")}
        kinds = [k for k in plain["type"] if k != "object"]
        low, high = _AGREEMENTS[self.unit]
        keys: dict[str, Any] = {
            "value": {"type": kinds, **bounds, "description": "the number"},
            "agreement": {
                "type": kinds,
                "minimum": low,
                "maximum": high,
                "description": f"how far it may be off, {self.unit}",
            },
        }
        block = {"properties": keys, "required": ["value"], "additionalProperties": False}
        return {**plain, "type": [*kinds, "object"], **block}


_AGREEMENTS = {"mm": (0.001, 20.0), "degrees": (0.001, 5.0)}
"""What a number may be off by, as the block `agreement` has it."""
_EXAMPLE = {"mm": "{value: 425, agreement: 1.5}", "degrees": "{value: 72, agreement: 0.3}"}


@dataclass(frozen=True)
class Whole(Quantity):
    """A whole number."""

    json_type: ClassVar[Any] = "integer"

    def read(self, value: Any) -> int:
        """A whole number in range."""
        found = super().read(value)
        if found != int(found):
            raise refused("type", words.NOT_WHOLE.format(found=found, expected=self.expected))
        return int(found)


@dataclass(frozen=True)
class OneOf(Reader):
    """One of a field's words, in any case; `hints` says more of what people write in place of one."""

    words: tuple[str, ...] = ()
    hints: tuple[tuple[str, str], ...] = ()

    def read(self, value: Any) -> str:
        """The word in lower case."""
        expected = words.listed(self.words)
        written = _scalar(value, expected).strip()
        if written.lower() in self.words:
            return written.lower()
        near = difflib.get_close_matches(written.lower(), self.words, 1)
        hint = dict(self.hints).get(written.lower(), "")
        if near and not hint:
            hint = words.DID_YOU_MEAN.format(names=near[0])
        said = words.NOT_OF_WORDS.format(text=shown(written), words=expected, hint=hint and f" {hint}")
        raise refused("type", said)

    def json_schema(self) -> dict[str, Any]:
        """The words."""
        return {"enum": list(self.words), "description": self.meaning}


@dataclass(frozen=True)
class Boolean(Reader):
    """true or false; YAML's other words for them too, in any case, with or without quotation marks."""

    json_type: ClassVar[Any] = "boolean"

    def read(self, value: Any) -> bool:
        """The truth value."""
        written = _scalar(value, "true or false").strip()
        found = _BOOLEANS.get(written.lower())
        if found is None:
            raise refused("type", words.NOT_TRUE_FALSE.format(text=shown(written)))
        return found


@dataclass(frozen=True)
class Words(Reader):
    """Text as written, whatever YAML would make of it: 007 and 2024-05-01 and `no` stay so."""

    json_type: ClassVar[Any] = ("string", "number", "boolean", "null")

    def read(self, value: Any) -> str:
        """The text without outer blanks; no value is an empty text."""
        if isinstance(value, Scalar) and value.empty:
            return ""
        written = _scalar(value, "a text", empty_allowed=True)
        if len(written) > MAX_TEXT:
            raise refused("range", words.TOO_LONG.format(count=len(written), most=MAX_TEXT))
        strange = NOT_TEXT.search(written)
        if strange:
            kind = "control character" if unicodedata.category(strange[0]) == "Cc" else "character"
            raise refused("type", words.STRANGE_CHARACTER.format(kind=kind, code=ord(strange[0])))
        return _BREAK.sub("\n", written).strip()

    def json_schema(self) -> dict[str, Any]:
        """Any single value: editors read 007 as a number, the program as text."""
        return {**super().json_schema(), "type": list(self.json_type)}


@dataclass(frozen=True)
class QuarterOrAngle(Quantity):
    """true (a quarter turn), false, or an angle."""

    def read(self, value: Any) -> float:
        """The angle in degrees."""
        if isinstance(value, Scalar) and value.plain and value.text.lower() in _BOOLEANS:
            return 90.0 if _BOOLEANS[value.text.lower()] else 0.0
        return super().read(value)

    def json_schema(self) -> dict[str, Any]:
        """A number or a truth value."""
        return {**super().json_schema(), "type": ["number", "boolean"]}


def read_number(value: Any, expected: str) -> float:
    """A finite decimal number; `expected` is the range that messages name."""
    text = _scalar(value, f"a number, {expected}").strip()
    if isinstance(value, Scalar) and not value.plain:
        raise refused("type", words.QUOTED.format(text=shown(text), expected=expected))
    trap = _number_trap(text, expected)
    if trap:
        raise refused(*trap)
    if not (_NUMBER.fullmatch(text) and text.isascii()):
        told = {"text": shown(text), "hint": number_hint(text, expected)}
        raise refused("type", words.NO_NUMBER.format(expected=expected, **told))
    found = float(text)
    if not math.isfinite(found):
        raise refused("range", words.TOO_GREAT.format(text=shown(text), expected=expected))
    return found


def _scalar(value: Any, expected: str, empty_allowed: bool = False) -> str:
    if isinstance(value, Scalar):
        if value.empty and not empty_allowed:
            raise refused("type", words.NO_VALUE.format(expected=expected))
        return value.text
    what = "a block of keys" if isinstance(value, dict) else "a list"
    raise refused("type", words.NO_SCALAR.format(found=what, expected=expected))


def _number_trap(text: str, expected: str) -> tuple[Code, str] | None:
    """Code and message where `text` is a number that people or YAML read in more ways than one."""
    zero = _LEADING_ZERO.fullmatch(text)
    told = {"text": shown(text), "expected": expected}
    if text.lower() in _BOOLEANS:
        return "type", words.YES_OR_NO.format(**told)
    if zero:
        return "type", words.LEADING_ZERO.format(text=text, number=f"{zero[1]}{zero[2]}")
    if _SEXAGESIMAL.fullmatch(text):
        return "type", words.HOURS.format(text=text, expected=expected, hint=_minutes(text, expected))
    if _PROGRAMMER.fullmatch(text):
        return "type", words.PROGRAMMER.format(text=text, expected=expected)
    if "_" in text and _UNDERSCORE.fullmatch(text):
        return "type", words.UNDERSCORES.format(text=text, number=text.replace("_", ""))
    if _COMMA.fullmatch(text):
        return "type", words.COMMA.format(text=text, number=text.replace(",", "."))
    if _INFINITE.fullmatch(text):
        return "range", words.INFINITE.format(**told)
    if _WITH_UNIT.fullmatch(text):
        return "type", words.NUMBER_ALONE.format(**told)
    return None


def _minutes(text: str, expected: str) -> str:
    """Degrees and minutes as a decimal number, offered; nothing where they are not just that."""
    degrees, *minutes = text.split(":")
    if len(minutes) != 1 or float(minutes[0]) >= 60.0 or "degrees" not in expected:
        return ""
    size = abs(float(degrees)) + float(minutes[0]) / 60.0
    return " " + words.DID_YOU_MEAN.format(names=f"{'-' if degrees.startswith('-') else ''}{size:g}")
