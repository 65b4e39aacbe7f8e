"""From whatever was raised to the problem that a caller gets: one table, and the one place that answers."""

from fastapi import Request, Response
from fastapi.routing import iter_route_contexts
from starlette.exceptions import HTTPException

from service.api.problems import Refusal, problem_response, refusal_of

SERVER_WIDE = "*"
"""What OPTIONS asks for to hear of the server as a whole (RFC 9110, section 9.3.7)."""


async def answer_refusal(request: Request, fault: HTTPException) -> Response:
    """Answer an HTTP exception, our own or the framework's."""
    server_wide = request.method == "OPTIONS" and request.scope["path"] == SERVER_WIDE
    if fault.status_code != 405 and not server_wide:
        return problem_response(refusal_of(fault), request.scope)
    allow = allowed_methods(request)
    if request.method == "OPTIONS":
        return Response(status_code=204, headers={"Allow": allow})
    refusal = Refusal("method-not-allowed", f"Use one of: {allow}.", headers={"Allow": allow})
    return problem_response(refusal, request.scope)


def allowed_methods(request: Request) -> str:
    """The methods that the path of a request is asked by, of all its routes together; of all there are for `*`."""
    path = request.scope["path"]
    methods = {"OPTIONS"}
    for route in iter_route_contexts(request.app.routes):
        if path == SERVER_WIDE or route.path_regex.match(path):
            methods |= route.methods or set()
    if "GET" in methods:
        methods.add("HEAD")
    return ", ".join(sorted(methods))
