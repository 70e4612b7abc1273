"""What a phone without signal needs: the service worker, the page of unsent work, the addresses of a job to keep."""

from __future__ import annotations

import hashlib
import json
from functools import lru_cache
from importlib import resources
from pathlib import Path

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse

from ampwright.deliver.web.look import show
from ampwright.deliver.web.parts import parts
from ampwright.deliver.web.screens.sensors import drawable
from ampwright.deliver.web.screens.sketch import things
from ampwright.deliver.web.site import Here
from ampwright.deliver.web.visitors import here, holder

router = APIRouter(default_response_class=Response)


@router.get("/sw.js")
def worker() -> Response:
    """The service worker, told which files are the shell; any other shell makes it another worker."""
    return Response(_worker(), media_type="text/javascript")


@router.get("/who")
def who(request: Request) -> Response:
    """Who asks, and the token that their forms bring: a page may have been kept since another session."""
    session = here()
    return JSONResponse({"person": holder(request), "token": session.form_token if session else ""})


@router.get("/unsent")
def unsent(request: Request) -> Response:
    """The page of what this phone has not sent yet; the phone fills it in, so it is the same for everybody."""
    return show(request, "unsent", None)


@router.get("/no-signal")
def no_signal(request: Request) -> Response:
    """The page that stands for one that is not kept on the phone."""
    return show(request, "no_signal", None)


@router.get("/jobs/{name}/addresses")
def addresses(site: Here, name: str) -> Response:
    """Every page and photo of a job, for a phone to keep."""
    job, base = site.store.read(name)
    home = f"/jobs/{name}"
    pages = [home, *(f"{home}/{each}" for each in ("checks", "history", "photos", "sheet", "sensors", "due", "sketch"))]
    pages += [f"{home}/sketch/{each}" for each in ("plan.svg", *things(site.store.values(name, base)))]
    pages += [f"{home}/sensors/drawing.svg"] if drawable(job) else []
    photos = [f"{home}/photos/{each.id}" for each in site.store.photos.of_job(name)]
    return JSONResponse([*pages, *(f"{home}/part/{part}" for part in parts()), *photos])


@lru_cache(maxsize=1)
def _worker() -> str:
    folder = Path(str(resources.files("ampwright.deliver.web").joinpath("static")))
    files = sorted(each for each in folder.rglob("*") if each.suffix in (".js", ".css", ".svg"))
    written = [folder.parent / "templates" / f"{each}.html" for each in ("base", "unsent", "no_signal")]
    hashed = hashlib.sha256(b"".join(each.read_bytes() for each in [*files, *written])).hexdigest()[:16]
    shell = ["/unsent", "/no-signal", *(f"/static/{each.relative_to(folder).as_posix()}" for each in files)]
    told = f"const SHELL = {json.dumps(f'shell-{hashed}')};\nconst FILES = {json.dumps(shell)};\n"
    return told + folder.joinpath("worker.js").read_text(encoding="utf-8")
