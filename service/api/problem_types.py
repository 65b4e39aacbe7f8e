"""The table of problem types: every way a request can end without an answer, its status, and the words of its page."""

from collections.abc import Mapping
from dataclasses import dataclass
from inspect import getdoc
from types import MappingProxyType

from service.api.fault_examples import FAULT_EXAMPLES
from service.units.dimensions import System
from service.zones.faults import ZoneFault


@dataclass(frozen=True, slots=True)
class ProblemType:
    """One row: the words are for a person at a sheet or a form, who may never have seen HTTP."""

    slug: str
    status: int
    title: str
    happened: str
    mend: str
    detail: str  # of the example, as the following: its one error, where the type has errors
    pointer: str = ""
    fault: str = ""
    accepted: str = ""

    @property
    def path(self) -> str:
        """Where its page stands, which is also its `type`."""
        return f"/problems/{self.slug}"


_ROWS: tuple[ProblemType, ...] = (
    # What arrived is no request that can be read.
    ProblemType(
        "bad-request",
        400,
        "The request cannot be read",
        "The request breaks the rules of HTTP itself, before any field was looked at.",
        "Send it with a current HTTP library; if a proxy stands between, look at what it changes.",
        detail="The request breaks the rules of HTTP.",
    ),
    ProblemType(
        "not-json",
        400,
        "The body is not JSON that can be trusted",
        "The body could not be read as JSON, or it could be read in two ways: a key given twice, NaN or Infinity, a "
        "number too large to hold, half of a character pair, nesting without end.",
        "Write the body with a JSON library instead of by hand; leave out what has no value instead of sending NaN.",
        detail="This key stands twice in one object: #/runs/0/length.",
        pointer="#/runs/0/length",
        fault="This key stands twice in one object.",
        accepted="each key once",
    ),
    ProblemType(
        "sign-in-needed",
        401,
        "Signing in is needed",
        "What was asked is behind a sign-in, and the request carried none. The service itself asks for none; the "
        "operator has put a gate before it.",
        "Ask the operator how to sign in.",
        detail="Signing in is needed.",
    ),
    ProblemType(
        "not-allowed",
        403,
        "This is not allowed",
        "The request was understood, but whoever sent it may not have the answer.",
        "Ask the operator. A page of another site may ask only if the operator lists its origin.",
        detail="Pages of this origin may not ask here.",
    ),
    ProblemType(
        "no-such-page",
        404,
        "There is nothing at this address",
        "No page and no calculation has this path. A slash at the end makes another address; nothing is redirected.",
        "Compare the path with the list at /docs; leave off a slash at the end.",
        detail="There is nothing at this address.",
    ),
    ProblemType(
        "no-such-part",
        404,
        "The catalogue has no such part",
        "The address names a part that the catalogue does not hold.",
        "Take an id from GET /v1/parts; the nearest ones are named under `accepted`.",
        detail="The catalogue has no part of this id.",
        pointer="{id}",
        fault="No part has this id.",
        accepted="pe-0.5in, pe-0.75in",
    ),
    ProblemType(
        "method-not-allowed",
        405,
        "This address is not asked that way",
        "The path is right, but not for this method: a calculation with a body is asked by POST, one with parameters "
        "by GET.",
        "Use one of the methods in the header `Allow` of the answer.",
        detail="Use one of: GET, HEAD, OPTIONS, POST.",
    ),
    ProblemType(
        "no-such-format",
        406,
        "The answer does not come in this format",
        "The format asked for by `format=` or by the header `Accept` is not one of those the answer comes in.",
        "Take a format from the list under `accepted`. `format=` wins over `Accept`.",
        detail="The answer does not come in this format.",
        pointer="?format",
        fault="There is no such format.",
        accepted="json",
    ),
    ProblemType(
        "too-slow",
        408,
        "The request took too long to arrive",
        "The request began but did not come to its end in time.",
        "Send it again. Over a slow line send a smaller body.",
        detail="The body did not arrive in time.",
    ),
    ProblemType(
        "body-too-large",
        413,
        "The body is too large",
        "The body is larger than this address takes: reading stopped at the limit.",
        "Send the outlets of long runs as `spacing` instead of one by one, or part the job into several requests.",
        detail="The body is larger than 1048576 bytes.",
    ),
    ProblemType(
        "address-too-long",
        414,
        "The address is too long",
        "Path and parameters together are longer than the service reads.",
        "Ask by POST with a body.",
        detail="Path and query are longer than 8192 bytes.",
    ),
    ProblemType(
        "not-sent-as-json",
        415,
        "The body was not sent as plain JSON",
        "The header `Content-Type` says something other than `application/json` or is missing, or the body is "
        "compressed. Forms and plain text are refused on purpose: other sites' pages may send those unasked.",
        "Send `Content-Type: application/json`, in UTF-8, without `Content-Encoding`.",
        detail="The body must come as application/json.",
    ),
    ProblemType(
        "invalid-input",
        422,
        "The input cannot be taken as it is",
        "One or more fields or parameters are missing, unknown, given twice, or hold a value outside of what is "
        "accepted. All of them are listed, and nothing was computed.",
        "Mend every entry of `errors`: `pointer` says where, `accepted` says what would do.",
        detail="One field cannot be taken.",
        pointer="#/runs/0/length",
        fault="-3 ft is outside the range from 0.00329 to 32800 ft.",
        accepted="from 0.00329 to 32800 ft",
    ),
    ProblemType(
        "zone-faults",
        422,
        "The zone has several faults of different kinds",
        "Each field is well written, but together they make no zone, for more than one reason.",
        "Mend every entry of `errors`. Each kind has a page of its own in the list of problems.",
        detail="The zone has 2 faults.",
        pointer="#/runs/1/from",
        fault="No run has the id heder.",
        accepted="header",
    ),
    ProblemType(
        "no-solution",
        422,
        "No pressures were found that fit the whole zone",
        "The search for pressures and flows that agree everywhere did not come to an end, so there is no answer that "
        "could be trusted. It happens only with extreme figures.",
        "Look for a length, diameter or flow that is off by some powers of ten, and leave out parts of the zone until "
        "it is answered. Send the zone to the operator, for it should not happen.",
        detail="No pressures were found that fit the whole zone.",
    ),
    ProblemType(
        "too-many-requests",
        429,
        "Too many requests",
        "More requests came than the operator allows one caller.",
        "Wait as long as the header `Retry-After` says. Ask for several values at once with `pick`.",
        detail="Too many requests.",
    ),
    ProblemType(
        "headers-too-large",
        431,
        "The head of the request is too large",
        "The headers of the request are larger than the service reads; often cookies of another service on the same "
        "host.",
        "Send fewer or shorter headers; none but Content-Type and Accept is needed.",
        detail="The headers are larger than 16384 bytes.",
    ),
    ProblemType(
        "unexpected",
        500,
        "Something went wrong here",
        "The service met a case its authors did not think of. The log holds the whole story under the request id.",
        "Send the header `X-Request-ID` of the answer to the operator. The same request will fail again.",
        detail="Something went wrong; the operator finds it under the request id.",
    ),
    ProblemType(
        "busy",
        503,
        "All hands are busy",
        "More calculations wait than the service will queue. Nothing was computed.",
        "Send the same request again after the seconds in the header `Retry-After`.",
        detail="Too many calculations are waiting.",
    ),
)


def _of_fault(example: ZoneFault) -> ProblemType:
    """The row of a fault of the whole zone, whose class says what happened and how to mend it."""
    told = example.detail.said(System.US)
    accepted = example.accepted.said(System.US)
    happened = getdoc(type(example)) or ""
    return ProblemType(
        example.slug, 422, example.title, happened, example.mend, told, example.pointer, fault=told, accepted=accepted
    )


_ROWS += tuple(map(_of_fault, FAULT_EXAMPLES))

PROBLEM_TYPES: Mapping[str, ProblemType] = MappingProxyType({row.slug: row for row in _ROWS})
"""Every type by the last part of its path."""

TYPE_OF_STATUS: Mapping[int, ProblemType] = MappingProxyType({row.status: row for row in reversed(_ROWS)})
"""The type that a bare status stands for: the first row that has it."""
