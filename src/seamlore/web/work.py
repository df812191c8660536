"""Work that takes a while: how far it is, and whether it is still wanted."""

from __future__ import annotations

from dataclasses import dataclass


class StoppedError(Exception):
    """The user stopped a piece of work."""


@dataclass(slots=True, eq=False)
class Work:
    """A reading that may take a while.

    Parameters
    ----------
    stage : str
        What is being done now.
    part : float
        How far it is, 0 to 1.
    done : bool
        Whether it is over.
    fault : str
        Why it could not be done; empty when it could.
    wanted : bool
        False once the user has stopped it; the work ends at its next stage.
    """

    stage: str = "Opening the photograph"
    part: float = 0.0
    done: bool = False
    fault: str = ""
    wanted: bool = True

    def told(self, stage: str, part: float) -> None:
        """Note how far the work is; ends it when it is no longer wanted."""
        if not self.wanted:
            raise StoppedError
        self.stage, self.part = stage, part
