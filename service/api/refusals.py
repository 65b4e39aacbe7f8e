"""From whatever was raised to the problem that a caller gets: one table, and the one place that answers."""

from fastapi import Request, Response
from fastapi.routing import iter_route_contexts
from starlette.exceptions import HTTPException

from service.api.problems import Refusal, problem_response, refusal_of

FILE_METHODS = {"GET"}
"""How a folder of files is asked, which declares no methods."""


async def answer_refusal(request: Request, fault: HTTPException) -> Response:
    """Answer an HTTP exception, our own or the framework's."""
    if fault.status_code != 405:
        return problem_response(refusal_of(fault), request.scope)
    allow = allowed_methods(request)
    if request.method == "OPTIONS":
        return Response(status_code=204, headers={"Allow": allow})
    refusal = Refusal("method-not-allowed", f"Use one of: {allow}.", headers={"Allow": allow})
    return problem_response(refusal, request.scope)


def allowed_methods(request: Request) -> str:
    """The methods that the path of a request is asked by, of all its routes together."""
    methods = {"OPTIONS"}
    for route in iter_route_contexts(request.app.routes):
        if route.path_regex.match(request.url.path):
            methods |= route.methods or FILE_METHODS
    if "GET" in methods:
        methods.add("HEAD")
    return ", ".join(sorted(methods))
