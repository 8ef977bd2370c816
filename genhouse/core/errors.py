"""Everything that can go wrong for a user, in one tree.

Each class knows its exit code.  A message is one sentence: what is wrong, where, what would work.

    GenhouseError
    ├── BriefError        the brief, the seed or an option is malformed          2
    ├── TraditionError    a tradition's data file is malformed                   2
    ├── InfeasibleError   well-formed, but no house answers it                   2
    ├── UnreadableError   a saved house cannot be read                           2
    │   └── VersionError  it is of another version of the format                 2
    ├── WriteError        the output cannot be written; nothing was left behind  2
    └── StoppedError      the work was ended from outside                        70
"""

from functools import partial

UNEXPECTED = 70
"""The exit code where the fault is neither the user's nor the house's; EX_SOFTWARE of BSD's sysexits.h."""


class GenhouseError(Exception):
    """Base of all errors meant for the user's eyes."""

    exit_code = 2


class BriefError(GenhouseError, ValueError):
    """A brief, seed or option that cannot be understood."""


class TraditionError(GenhouseError, ValueError):
    """A tradition's data that cannot be understood."""


class InfeasibleError(GenhouseError):
    """A well-formed wish that no house can answer.

    stage: the building stage that gave up.  offers: what would work, in words.
    """

    def __init__(self, message: str, *, stage: str, offers: tuple[str, ...] = ()) -> None:
        self.message = message
        self.stage = stage
        self.offers = offers
        super().__init__(f"{message}; {' or '.join(offers)} would work" if offers else message)

    def __reduce__(self) -> tuple[object, ...]:
        """So that it passes between processes with all it says."""
        return partial(type(self), stage=self.stage, offers=self.offers), (self.message,)


class UnreadableError(GenhouseError, ValueError):
    """A house folder or file that cannot be read."""


class VersionError(UnreadableError):
    """A file of a house in another version of its format than this program reads."""


class WriteError(GenhouseError, OSError):
    """An output that could not be written whole."""


class StoppedError(GenhouseError):
    """Work that was ended from outside, by no one's wish that we know."""

    exit_code = UNEXPECTED
