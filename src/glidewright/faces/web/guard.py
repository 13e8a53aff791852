"""Who may ask for what, before any page is reached: host, origin, door of the club, size of a body.

Every request passes here, whatever its route. A page of another site must neither read nor change a model:
its requests carry its own origin, or the browser's word that they come from another site.
"""

import ipaddress
import socket
from collections.abc import Iterable
from dataclasses import dataclass, field
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from glidewright.faces.web.door import Door

LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "::1"})
LARGEST_BODY_BYTES = 1_000_000
LARGEST_UPLOAD_BYTES = 30_000_000
UPLOAD_PATH_END = "/upload"
_READS = ("GET", "HEAD")
_ALLOWED = (*_READS, "POST")
_OPEN_AT_THE_DOOR = ("/code", "/static/")
_TOO_LARGE = "must be at most {limit:g} MB; more came; nothing was kept"
HEADERS = {
    "content-security-policy": (
        "default-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'"
    ),
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
}


@dataclass(frozen=True)
class Guard:
    """The outermost layer of the app; door: of the club, None when only this machine is served."""

    app: ASGIApp
    door: Door | None = None
    names: frozenset[str] = field(default=LOOPBACK_NAMES)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse, or hand on with a limit on the body and the headers of every answer."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":  # no page opens a socket: close whatever knocks
            await send({"type": "websocket.close", "code": 1008})
            return
        refusal = self._refusal(scope)
        answer: ASGIApp = self.app if refusal is None else refusal
        await answer(scope, _limited(scope, receive), _with_headers(scope, send))

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        sentence = self._foreign(headers, str(scope["method"]))
        if sentence:
            return PlainTextResponse(f"glidewright: {sentence}\n", status_code=403)
        if scope["method"] not in _ALLOWED:
            return PlainTextResponse("glidewright: must be a GET or a POST\n", status_code=405)
        too_long = _announced(headers) > _limit(scope)
        if too_long:
            words = _TOO_LARGE.format(limit=_limit(scope) / 1e6)
            return PlainTextResponse(f"glidewright: {words}\n", status_code=413)
        if self.door is not None and not self._is_let_in(scope, headers, self.door):
            return RedirectResponse("/code", status_code=303)
        return None

    def _foreign(self, headers: Headers, method: str) -> str:
        """Why a request is not one of our own pages', or nothing."""
        hosts = headers.getlist("host")
        if len(hosts) != 1 or not self._is_ours(hosts[0]):
            return "must be asked by the address that it printed; another host name came"
        origin = headers.get("origin")
        if origin is not None and not _is_same(origin, hosts[0]):
            return "must be asked by its own pages; another origin came"
        site = headers.get("sec-fetch-site")
        if site not in (None, "same-origin", "none"):
            is_link = method in _READS and headers.get("sec-fetch-mode") == "navigate"
            if not is_link or headers.get("sec-fetch-dest") not in ("document", None):
                return "must be asked by its own pages; a page of another site asked"
        if method not in _READS and origin is None and site != "same-origin":
            return "must be told by its own pages; a change came without an origin"
        return ""

    def _is_ours(self, host: str) -> bool:
        name = host_name(host)
        return name in self.names

    def _is_let_in(self, scope: Scope, headers: Headers, door: Door) -> bool:
        client = scope.get("client")
        if (
            client is not None
            and client[0] in LOOPBACK_NAMES
            and host_name(headers["host"]) in LOOPBACK_NAMES
        ):
            return True
        path = str(scope["path"])
        return path.startswith(_OPEN_AT_THE_DOOR) or door.knows(headers.get("cookie", ""))


def host_name(host: str) -> str:
    """The name of a Host header without its port, lower case; empty for what is no host.

    >>> host_name("LOCALHOST:8000"), host_name("[::1]:80"), host_name("a@b")
    ('localhost', '::1', '')
    """
    if any(sign in host for sign in "@/\\?# "):
        return ""
    try:
        split = urlsplit(f"//{host}")
        _ = split.port  # a port that is no number
    except ValueError:
        return ""
    return (split.hostname or "").lower()


def own_names() -> frozenset[str]:
    """Names and addresses by which this machine is reached in its own network."""
    found = set(LOOPBACK_NAMES)
    name = socket.gethostname().lower()
    found |= {name, f"{name}.local"}
    found |= _addresses(name)
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # sends nothing: it only asks which address would be used
            found.add(probe.getsockname()[0])
        except OSError:
            pass
    return frozenset(found)


def network_addresses(names: Iterable[str]) -> list[str]:
    """The addresses among names that others in the network can use, in order."""
    found = []
    for name in names:
        try:
            address = ipaddress.ip_address(name)
        except ValueError:
            continue
        if address.version == 4 and not address.is_loopback:
            found.append(name)
    return sorted(found)


def _addresses(name: str) -> set[str]:
    try:
        return {str(entry[4][0]) for entry in socket.getaddrinfo(name, None)}
    except OSError:
        return set()


def _is_same(origin: str, host: str) -> bool:
    try:
        split = urlsplit(origin)
    except ValueError:
        return False
    return split.scheme == "http" and split.netloc.lower() == host.lower()


def _limit(scope: Scope) -> int:
    return LARGEST_UPLOAD_BYTES if str(scope["path"]).endswith(UPLOAD_PATH_END) else LARGEST_BODY_BYTES


def _announced(headers: Headers) -> int:
    text = headers.get("content-length", "0")
    return int(text) if text.isdecimal() else 0


def _limited(scope: Scope, receive: Receive) -> Receive:
    """The body counted as it comes: a length that is not announced, or a false one, changes nothing."""
    limit, seen = _limit(scope), 0

    async def counted() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > limit:
            raise HTTPException(413, _TOO_LARGE.format(limit=limit / 1e6))
        return message

    return counted


def _with_headers(scope: Scope, send: Send) -> Send:
    is_static = str(scope["path"]).startswith("/static/")

    async def added(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers[name] = value
            if not is_static:
                headers["cache-control"] = "no-store"
        await send(message)

    return added
