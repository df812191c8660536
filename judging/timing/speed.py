"""How long a large quilt takes: 30 rows of 30 blocks of 20 patches, laid out and drawn; and what is asked most often.

`python -m judging.timing.speed` prints the best of three runs for each step, by the clock and of work done. The target is
one second from draft to SVG, 0.3 s for the command's help, and 10 ms for naming a block.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from time import perf_counter, process_time

from seamlore.draft.catalogue import all_blocks
from seamlore.draft.kinds import Turned
from seamlore.draft.layout import lay
from seamlore.draft.naming.naming import name_block
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


def program(*words: str) -> None:
    """Run Python anew and wait for its end."""
    subprocess.run([sys.executable, *words], check=True, capture_output=True)


def often(write: Callable[[str], None]) -> None:
    """Print a line for each thing that is asked often: by the clock alone where another program does the work."""
    clock, _ = best(lambda: program("-m", "seamlore.cli.main", "--help"))
    write(f"{'the help of the command, started anew':44} {clock:6.2f}")
    read, _ = best(lambda: program("-c", "from seamlore.draft.catalogue import all_blocks; all_blocks()"))
    write(f"{'Python started, all blocks of the catalogue':44} {read:6.2f}")
    took = {each.name: best(lambda each=each: name_block(each.moved(90, mirrored=True)))[1] for each in all_blocks()}  # type: ignore[misc]
    slowest = max(took, key=lambda name: took[name])
    write(f"{f'naming the slowest block, {slowest}':44.44} {'':6} {took[slowest]:6.3f}")


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
    often(write)


if __name__ == "__main__":
    table()
