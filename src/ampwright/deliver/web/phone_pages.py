"""How a phone comes to trust this server: the steps, and the certificate of its own authority."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from ampwright.deliver.certificates import Authority
from ampwright.deliver.web.look import error_page, show

CERTIFICATE = "application/x-x509-ca-cert"
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class PhonePage:
    """The authority, the address of these steps as a picture, and where the jobs are."""

    authority: Authority


@router.get("/phone")
def steps(request: Request) -> Response:
    """The steps for a phone."""
    authority: Authority | None = request.app.state.authority
    if authority is None:
        return error_page(request, 404, "There is nothing for a phone to trust here", "`ampwright serve --tls` makes a "
                          "certificate authority of your own, and then its steps stand here.")  # fmt: skip
    return show(request, "phone", PhonePage(authority))


@router.get("/phone/authority.crt")
def certificate(request: Request) -> Response:
    """The certificate of the authority, which is no secret."""
    authority: Authority | None = request.app.state.authority
    if authority is None:
        return error_page(request, 404, "There is no such page", "Go back to the list of jobs.")
    return Response(authority.certificate, media_type=CERTIFICATE,
                    headers={"Content-Disposition": 'attachment; filename="ampwright-authority.crt"'})  # fmt: skip
