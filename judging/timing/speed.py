"""How long a large quilt takes: 30 rows of 30 blocks of 20 patches, laid out and drawn.

`python -m judging.timing.speed` prints the best of three runs for each step, by the clock and of work done. The target is
one second from draft to SVG.
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter, process_time

from seamlore.draft.kinds import Turned
from seamlore.draft.layout import lay
from seamlore.draft.pieces import pieces
from seamlore.draft.quilt import Quilt
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint, Setting, Straight
from seamlore.draft.text.notation import read_block
from seamlore.draft.text.quilt_file import read_quilt, write_quilt
from seamlore.draft.touching import neighboring_blocks, touching_pairs
from seamlore.drawing.svg import to_svg
from seamlore.lengths import inches
from seamlore.pictures.quilts import quilt_picture

# Twelve squares and four squares of two triangles each.
TWENTY = "block Twenty\nA dark\nB light\n\nA/B B B B\\A\nB A A B\nB A A B\nB\\A B B A/B"


def large(setting: Setting) -> Quilt:
    """The quilt that is timed, every third block turned."""
    turned = {(row, column): Turned(90) for row in range(30) for column in range(29) if (row + column) % 3 == 0}
    return repeated("Large", read_block(TWENTY), inches(6), inches(6), 30, 30, turned=turned, setting=setting)


def best(what: Callable[[], object], times: int = 3) -> tuple[float, float]:
    """Seconds of the best of some runs: by the clock, and of work."""
    found = []
    for _ in range(times):
        clock, work = perf_counter(), process_time()
        what()
        found.append((perf_counter() - clock, process_time() - work))
    return min(found)


def table(write: Callable[[str], None] = print) -> None:
    """Print a line for each step."""
    write(f"{'step':44} {'s':>6} {'cpu s':>6}")
    for name, setting in (("straight", Straight()), ("on point", OnPoint())):
        quilt = large(setting)
        laid = lay(quilt)
        steps: dict[str, Callable[[], object]] = {
            f"{name}: lay out {len(laid):,} pieces": lambda quilt=quilt: lay(quilt),  # type: ignore[misc]
            f"{name}: list the pieces to cut": lambda quilt=quilt: pieces(quilt),  # type: ignore[misc]
            f"{name}: lay out and draw to SVG": lambda quilt=quilt: to_svg(quilt_picture(quilt, 200, 200)),  # type: ignore[misc]
            f"{name}: write and read the draft file": lambda quilt=quilt: read_quilt(  # type: ignore[misc]
                write_quilt(quilt), find_block=read_block
            ),
            f"{name}: who touches whom": lambda quilt=quilt, laid=laid: (  # type: ignore[misc]
                touching_pairs(laid), neighboring_blocks(quilt),
            ),
        }  # fmt: skip
        for step, what in steps.items():
            clock, work = best(what)
            write(f"{step:44} {clock:6.2f} {work:6.2f}")


if __name__ == "__main__":
    table()
