"""The door of the club: a code that is printed at start, used once, and gives a cookie for the session."""

import hmac
import secrets
import threading
from collections.abc import Callable
from http.cookies import CookieError, SimpleCookie

COOKIE = "glidewright-door"
_LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"  # none that look alike
_LENGTH = 8
_MOST_WRONG = 20


class Door:
    """Codes and the sessions that they opened; nothing of it is written to disk.

    tell: is given each new code, to show it to whoever started the program.
    """

    def __init__(self, tell: Callable[[str], None]) -> None:
        self._tell = tell
        self._lock = threading.Lock()
        self._sessions: set[str] = set()
        self._wrong = 0
        self._code = ""
        self._renew()

    def open(self, code: str) -> str | None:
        """A session for the right code, which is then used up and replaced; None for a wrong one.

        After twenty wrong codes a new one is made, so that trying them all leads nowhere.
        """
        given = "".join(code.split()).upper().encode()
        with self._lock:
            if not hmac.compare_digest(given, self._code.encode()):
                self._wrong += 1
                if self._wrong >= _MOST_WRONG:
                    self._renew()
                return None
            session = secrets.token_urlsafe(32)
            self._sessions.add(session)
            self._renew()
        return session

    def knows(self, cookies: str) -> bool:
        """Whether a Cookie header holds a session that was opened here."""
        try:
            jar = SimpleCookie(cookies)
        except CookieError:
            return False
        return COOKIE in jar and jar[COOKIE].value in self._sessions

    def _renew(self) -> None:
        self._wrong = 0
        self._code = "".join(secrets.choice(_LETTERS) for _ in range(_LENGTH))
        self._tell(self._code)
