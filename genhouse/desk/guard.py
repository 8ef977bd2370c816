"""Who may ask: only pages of this desk, by its own names, with bodies of a bounded size.

A page elsewhere can send a browser to this address (DNS rebinding, cross-site requests: OWASP,
"Cross-Site Request Forgery Prevention Cheat Sheet", on verifying Host and Origin); it is refused here.
"""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable, Collection, MutableMapping
from ipaddress import ip_address
from typing import Any

from genhouse.desk.task import WRONG, Answer, sentence

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

PORT = re.compile(r":[0-9]{1,5}$")
LOOPBACK = ("localhost", "127.0.0.1", "[::1]")
LARGEST = 256 << 10
"""Bytes of a body: a table of names."""
LONGEST = 48 << 10
"""Bytes of an address, as a browser writes it."""
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
"""Content Security Policy, level 3 (W3C): nothing but what this desk serves."""
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
FORBIDDEN, TOO_LARGE, TOO_LONG = 403, 413, 414


class Guard:
    """Stands before an application.

    hosts: the names by which it may be asked, without a port.  numbers: whether also by any number of
    an address, which no page elsewhere can borrow as it could a name.
    """

    def __init__(
        self, app: App, hosts: Collection[str] = LOOPBACK, *, numbers: bool = False
    ) -> None:
        self.app, self.hosts, self.numbers = app, hosts, numbers

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = {name.decode("latin-1"): v.decode("latin-1") for name, v in scope["headers"]}
        refusal = self._refusal(scope, headers)
        if refusal:
            await _answered(refusal, _sealed(send))
        else:
            await self.app(scope, _bounded(receive), _sealed(send))

    def _refusal(self, scope: Scope, headers: dict[str, str]) -> Answer | None:
        host = headers.get("host", "")
        if not self._known(PORT.sub("", host)):
            return sentence("This desk does not go by that name.", FORBIDDEN)
        origin = headers.get("origin")
        if origin is not None and origin.partition("://")[2] != host:
            return sentence("That page may not ask this desk.", FORBIDDEN)
        if scope["method"] not in ("GET", "HEAD") and origin is None:
            return sentence("Only a page of this desk may ask for that.", FORBIDDEN)
        elsewhere = headers.get("sec-fetch-site", "none") not in ("none", "same-origin")
        if elsewhere and headers.get("sec-fetch-mode") != "navigate":
            return sentence("That page may not ask this desk.", FORBIDDEN)
        if len(scope.get("query_string", b"")) + len(scope["path"]) > LONGEST:
            return sentence("The address is too long.", TOO_LONG)
        length = headers.get("content-length", "0")
        if not length.isdigit():
            return sentence("The length of what was sent is no number.", WRONG)
        if int(length) > LARGEST:
            return sentence(f"What was sent is larger than {LARGEST >> 10} KB.", TOO_LARGE)
        return None

    def _known(self, host: str) -> bool:
        return host in self.hosts or (self.numbers and _is_number(host))


def _is_number(host: str) -> bool:
    try:
        ip_address(host.strip("[]"))
    except ValueError:
        return False
    return True


class TooLargeError(Exception):
    """More was sent than was said, or than is taken."""


def _bounded(receive: Receive) -> Receive:
    """Takes no more than the largest body, whatever length was said."""
    taken = 0

    async def next_() -> MutableMapping[str, Any]:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > LARGEST:
            raise TooLargeError
        return message

    return next_


def _sealed(send: Send) -> Send:
    """With what every answer says of itself."""

    async def sent(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            own = [(k.encode(), v.encode()) for k, v in HEADERS.items()]
            message["headers"] = [*message.get("headers", ()), *own]
        await send(message)

    return sent


async def _answered(answer: Answer, send: Send) -> None:
    head = [(b"content-type", b"application/json"), (b"content-length", b"%d" % len(answer.body))]
    await send({"type": "http.response.start", "status": answer.status, "headers": head})
    await send({"type": "http.response.body", "body": answer.body})
