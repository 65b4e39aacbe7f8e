"""Which format a request gets: `format=` if it says so, else what its header Accept likes best."""

from collections.abc import Iterator, Mapping

from fastapi import Request

from service.api.problems import FieldError, Refusal
from service.render.formats import FORMATS, Format


def named_format(name: str) -> Format:
    """The format that a request names.

    Raises
    ------
    Refusal : 406 with the list, where there is none of the name.
    """
    form = FORMATS.get(name)
    if form is None:
        raise _no_such_format(FORMATS)
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
    for media_range in _best_first(accept):
        for form in formats.values():
            if _covers(media_range, form.media_type):
                return form
    raise _no_such_format(formats)


def _best_first(accept: str) -> Iterator[str]:
    """The media ranges of an Accept header (RFC 9110, section 12.5.1) by descending weight; weight 0 is a no."""
    weighed = []
    for item in accept.split(","):
        media_range, *parameters = (part.strip().lower() for part in item.split(";"))
        weight = next((_weight(p.removeprefix("q=")) for p in parameters if p.startswith("q=")), 1.0)
        if weight > 0:
            weighed.append((weight, media_range))
    weighed.sort(key=lambda pair: -pair[0])
    return (media_range for _, media_range in weighed)


def _weight(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return 0.0


def _covers(media_range: str, media_type: str) -> bool:
    plain = media_type.partition(";")[0]
    return media_range in {plain, f"{plain.partition('/')[0]}/*", "*/*"}


def _no_such_format(formats: Mapping[str, Format]) -> Refusal:
    known = ", ".join(formats)
    fault = FieldError(pointer="?format", detail="The answer does not come in the format asked for.", accepted=known)
    return Refusal("no-such-format", f"The answer comes as {known}.", errors=[fault], headers={"Vary": "Accept"})
