"""Which format a request gets: `format=` if it says so, else what its header Accept likes best."""

from collections.abc import Mapping, Sequence

from fastapi import Request

from service.api.problems import FieldError, Refusal
from service.render.formats import FORMATS, Format

Range = tuple[str, float]
"""One media range of an Accept header with its weight; the weight 0 is a no."""


def named_format(name: str, formats: Mapping[str, Format]) -> Format:
    """The format that a request names; whether it is one of `formats`, in which the answer comes, is told elsewhere.

    Raises
    ------
    Refusal : 406 with the list, where there is none of the name.
    """
    form = FORMATS.get(name)
    if form is None:
        raise _no_such_format(formats)
    return form


def liked_format(request: Request, formats: Mapping[str, Format]) -> Format:
    """Of some formats the one that the header Accept likes best, the first where it likes all alike.

    Raises
    ------
    Refusal : 406 with the list, where it takes none of them.
    """
    accept = ",".join(request.headers.getlist("accept")).strip()
    if not accept:
        return next(iter(formats.values()))
    ranges = [_range(item) for item in accept.split(",")]
    likings = {name: _liking(form, ranges) for name, form in formats.items()}
    best = max(likings, key=lambda name: likings[name])
    if likings[best][0] <= 0:
        raise _no_such_format(formats)
    return formats[best]


def _range(item: str) -> Range:
    media_range, *parameters = (part.strip().lower() for part in item.split(";"))
    return media_range, next((_weight(p.removeprefix("q=")) for p in parameters if p.startswith("q=")), 1.0)


def _weight(text: str) -> float:
    try:
        return max(0.0, float(text))
    except ValueError:
        return 0.0


def _liking(form: Format, ranges: Sequence[Range]) -> tuple[float, int, int]:
    """How well a format is liked: by the weight of the range that is about it most closely (RFC 9110, 12.5.1).

    What is named counts for more than what `*/*` lets through at the same weight, and what is named first for more than
    what follows: the one is why browsers get a page, the other what people mean who write a list.
    """
    matching = [
        (closeness, weight, -place)
        for place, (media_range, weight) in enumerate(ranges)
        if (closeness := max(_closeness(media_range, kind) for kind in form.media_types))
    ]
    closeness, weight, early = max(matching, default=(0, 0.0, 0))
    return weight, closeness, early


def _closeness(media_range: str, media_type: str) -> int:
    """How much of a media type a range names: 0 where it is about others."""
    ever_closer = ("*/*", f"{media_type.partition('/')[0]}/*", media_type)
    return ever_closer.index(media_range) + 1 if media_range in ever_closer else 0


def _no_such_format(formats: Mapping[str, Format]) -> Refusal:
    known = ", ".join(formats)
    fault = FieldError(pointer="?format", detail="The answer does not come in the format asked for.", accepted=known)
    return Refusal("no-such-format", f"The answer comes as {known}.", errors=[fault], headers={"Vary": "Accept"})
