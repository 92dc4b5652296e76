"""Where every key of a spec belongs, and what an unknown one was most likely meant to be."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any, get_args

from layout.errors import spoken
from layout.spec import words
from layout.spec.block import SpecBlock
from layout.spec.jig import DESCRIBED_SETTINGS, names_setting
from layout.spec.model import Spec
from layout.spec.registered import DIMENSION_KEYS, asked_only
from layout.spec.text import key_text
from layout.spec.tree import Path, Scalar, dotted
from layout.spec.tubes import Meaningless
from layout.spec.values import Described

_CLOSE_HERE = 0.72
_CLOSE_ELSEWHERE = 0.8
_SLIP = 0.9
"""Likeness (difflib's ratio) from which a key is offered; elsewhere must be surer than here.
From _SLIP on it is the key of this block with a slip, whatever else the word may mean."""

OTHER_WORDS = {
    "rake": "fork.offset",
    "chain_stay": "geometry.rear_centre",
    "chain_stay_length": "geometry.rear_centre",
    "chainstay": "geometry.rear_centre",
    "chainstay_length": "geometry.rear_centre",
    "seat_tube_angle": "geometry.seat_angle",
    "head_tube_angle": "geometry.head_angle",
    "effective_top_tube": "geometry.top_tube_effective",
    "bottom_bracket_drop": "geometry.bb_drop",
    "bottom_bracket_height": "geometry.bb_height",
    "drop": "geometry.bb_drop",
    "slope": "geometry.top_tube_slope",
    "flop": "geometry.wheel_flop",
    "thread": "bottom_bracket.shell",
    "threading": "bottom_bracket.shell",
    "standard": "bottom_bracket.shell",
    "setback": "rider.saddle_setback",
    "crank": "rider.crank_length",
    "stem": "cockpit.stem_length",
    "brazeons": "fittings",
    "braze_ons": "fittings",
}
"""Words people use for a key of another name; common practice."""


_TIGHT = re.compile(r"([a-z_]+):(\S.*)")
_NO_COLON = re.compile(r"([a-z_]+) ([-+.\d].*)")
_GENERIC = frozenset({
    "angle", "at", "base", "bolt", "depth", "diameter", "fit", "height", "kind", "length", "material",
    "parts", "plane", "radius", "section", "sheet", "side", "size", "slot",
    "thickness", "tube", "wall", "width",
})  # fmt: skip
"""Keys that several blocks have: found in another, they are not what was meant."""
_NEVER = {
    "scale": words.TRUE_SCALE, "media": words.ON_COMMAND_LINE, "paper": words.ON_COMMAND_LINE,
    "format": words.ON_COMMAND_LINE, "sheet_size": words.ON_COMMAND_LINE,
}  # fmt: skip
"""What no spec says, by the key that people look for."""


def block_at(path: Path, root: type[SpecBlock] = Spec) -> type[SpecBlock] | None:
    """The model of the block that `path` leads to in a file of model `root`; None where it leads to none."""
    annotation: Any = root
    for part in path:
        model = _block_in(annotation)
        fields = fields_of(model) if model else {}
        if isinstance(part, str) and part in fields:
            annotation = fields[part]
        elif model is None:
            return None
    return _block_in(annotation)


def fields_of(model: type[SpecBlock]) -> dict[str, Any]:
    """A block's keys as written in the file, with their annotations; not those that are refused."""
    return {
        info.alias or name: info.annotation
        for name, info in model.model_fields.items()
        if not any(isinstance(m, Meaningless) for m in info.metadata)
    }


def meaning(model: type[SpecBlock], key: str) -> str:
    """A key's description, for messages."""
    for name, info in model.model_fields.items():
        if key in (name, info.alias):
            readers = [m.meaning for m in info.metadata if isinstance(m, Described) and m.meaning]
            return info.description or (readers[0] if readers else key)
    return key


def unknown(path: Path, value: Any, root: type[SpecBlock] = Spec) -> str:
    """What to say of the unknown key at the end of `path` in a file of model `root`."""
    key, above = str(path[-1]), path[:-1]
    model = block_at(above, root)
    here = tuple(fields_of(model)) if model else ()
    hint = _meant(key, above, here, value) if root is Spec else _meant_here(key, here, value)
    if not above:
        return words.NO_TOP_KEY.format(hint=hint)
    return words.NO_KEY.format(block=spoken(dotted(above)), hint=hint)


def _meant_here(key: str, here: tuple[str, ...], value: Any) -> str:
    """What a key of another file than a spec was meant to be: a slip, or one of its block."""
    slip = _typing_slip(key, value)
    if slip:
        return slip
    if re.fullmatch("[A-Z]", key) and "from" in here:
        return words.A_LETTER
    near = difflib.get_close_matches(key.strip().lower(), here, 2, _CLOSE_HERE)
    return did_you_mean(near) if near else words.ONE_OF_KEYS.format(names=words.listed(here))


def did_you_mean(near: Sequence[str]) -> str:
    """The question that offers what is near to what was typed."""
    return words.DID_YOU_MEAN.format(names=" or ".join(near))


def _meant(key: str, above: Path, here: tuple[str, ...], value: Any) -> str:
    word = key.strip().lower().replace("-", "_").replace(" ", "_")
    if (word == "length" and above == ("fork",)) or word == "fork_length":
        return words.TWO_LENGTHS
    if word in asked_only():
        return words.CALCULATED
    slip = _typing_slip(key, value)
    if slip:
        return slip
    if word == "diameter" and above[:1] == ("wheels",):
        return words.HALF_DIAMETER
    name = dotted(above)
    if not above and isinstance(value, dict) and set(value) & set(here):
        return words.NESTED
    if above == ("jig",) and names_setting(word):
        return words.ELSEWHERE.format(place=f"jig.settings.{word}")
    if word in here:
        return words.WRITE_IT.format(word=word)
    if above and word.removeprefix(f"{above[-1]}_") in here:
        return words.CALLED_HERE.format(word=word.removeprefix(f"{above[-1]}_"))
    close = difflib.get_close_matches(word, here, 1, _SLIP)
    if above and close and word not in _places():
        return _offered(key, close)
    places = _elsewhere(word, name)
    if places and places[0].rpartition(".")[0] == name:
        return words.CALLED_HERE.format(word=places[0].rpartition(".")[2])
    if places:
        return words.ELSEWHERE.format(place=places[0])
    if word in _NEVER and above in ((), ("drawing",)):
        return _NEVER[word]
    near = difflib.get_close_matches(word, here, 2, _CLOSE_HERE)
    if near:
        return _offered(key, near)
    far = difflib.get_close_matches(word, [*_places(), *OTHER_WORDS], 1, _CLOSE_ELSEWHERE)
    if far and not (above and {word, far[0]} & _GENERIC):
        return did_you_mean([(_places().get(far[0]) or (OTHER_WORDS[far[0]],))[0]])
    if len(here) <= 20:
        return words.ONE_OF_KEYS.format(names=words.listed(here))
    return words.DIMENSIONS.format(block=name, example="head_angle")


def _elsewhere(word: str, block: str) -> tuple[str, ...]:
    """The places in other blocks that a key has, or that its other word means."""
    places = _places().get(word) or ((OTHER_WORDS[word],) if word in OTHER_WORDS else ())
    if word in _GENERIC and block:
        return tuple(place for place in places if place.startswith(f"{block}."))
    return places


def _offered(key: str, near: Sequence[str]) -> str:
    """The question that offers what is near; of a key with a foreign letter what to write."""
    foreign = next((c for c in key if not c.isascii()), None)
    if foreign is None:
        return did_you_mean(near)
    return words.LOOKS_ALIKE.format(code=ord(foreign), word=near[0])


def _typing_slip(key: str, value: Any) -> str | None:
    """A missing space after a colon, or a decimal comma, inside braces."""
    if not (isinstance(value, Scalar) and value.empty):
        return None
    tight = _TIGHT.fullmatch(key)
    if tight:
        return words.TIGHT_COLON.format(key=tight[1], value=key_text(tight[2]))
    missing = _NO_COLON.fullmatch(key)
    if missing:
        return words.NO_COLON.format(key=missing[1], value=key_text(missing[2]))
    if key.replace(".", "", 1).isdigit():
        return words.DECIMAL_COMMA
    return None


@cache
def _places() -> dict[str, tuple[str, ...]]:
    """Every key with the dotted places it may stand at; a dimension's own block before `geometry`."""
    own = {f"geometry.{name}" for name in DIMENSION_KEYS.values()}
    found: dict[str, tuple[str, ...]] = {}
    for path in _walk(Spec, ()):
        if path[0] not in ("choose", "jig"):
            found[path[-1]] = (*found.get(path[-1], ()), ".".join(path))
    return {key: tuple(sorted(places, key=lambda place: place in own)) for key, places in found.items()}


def _walk(model: type[SpecBlock], above: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    for key, annotation in fields_of(model).items():
        yield (*above, key)
        inner = _block_in(annotation)
        if inner is not None:
            yield from _walk(inner, (*above, key))


def _block_in(annotation: Any) -> type[SpecBlock] | None:
    """The block an annotation holds: itself, or within Annotated, a union, a list or a mapping."""
    if isinstance(annotation, type) and issubclass(annotation, SpecBlock):
        return annotation
    for inner in get_args(annotation):
        found = _block_in(inner)
        if found is not None:
            return found
    return None


def unknown_setting(name: str) -> str:
    """What to say of a jig's setting that is neither a dimension's name nor a described setting's."""
    names = [*fields_of(block_at(("geometry",)) or SpecBlock), *DESCRIBED_SETTINGS]
    near = difflib.get_close_matches(name, names, 2, _CLOSE_HERE)
    return words.NO_SETTING.format(hint=did_you_mean(near) if near else words.SETTINGS)
