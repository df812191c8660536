"""How well every block of the catalogue, and twenty whole quilts, are pressed, beside what no pressing can better.

`python -m judging.making.pressing > docs/accuracy/pressing.txt` prints a line for each: into how many parts its side is divided,
how many seams it has, and what is left in the order in which it is made small: crossings that do not nest, points where more than
four allowances lie on each other, seams toward the fuller of two pieces, stretches of seam with dark under light. No seam is folded
back over the more crowded of its two sides. Of a quilt: crossings between its blocks, and between them and what joins them.
"""

from __future__ import annotations

from judging.making.booklet_quilts import QUILTS
from judging.making.booklets import of_block, of_text
from seamlore.draft.catalogue import all_blocks
from seamlore.sewing.top import sewn_top

# Up to so many divisions all four aims are to be proven best.
SMALL = 8


def main() -> None:
    """Print the table, and how much of it is proven best."""
    print(f"{'':44} divisions  seams  open  left             bound            best")
    best = nested = small = small_best = blocks = 0
    for given in all_blocks():
        (made,) = sewn_top(of_block(given.name, columns=1)).blocks
        if made.pressed is None:
            continue
        found = made.pressed
        proven = found.value == found.bound
        blocks += 1
        best += proven
        nested += found.value[0] == found.bound[0]
        small += given.divisions <= SMALL
        small_best += proven and given.divisions <= SMALL
        print(
            f"{given.name[:44]:44} {given.divisions!s:>9} {len(found.ways):6} {found.ways.count('open'):5}  "
            f"{' '.join(map(str, found.value)):16} {' '.join(map(str, found.bound)):16} {'yes' if proven else 'not proven'}",
            flush=True,
        )
    print(
        f"{blocks} blocks: {nested} proven to nest as well as can be, {best} proven best in all; of {small} up to {SMALL} x {SMALL} "
        f"divisions {small_best}"
    )
    for name, text in QUILTS.items():
        top = sewn_top(of_text(text))
        assert top.lying is not None
        value, bound = len(top.lying.clashes) + len(top.clashes), top.lying.bound + top.bound
        print(f"quilt: {name[:37]:37} {'':22}  {value:<16} {bound:<16} {'yes' if value == bound else 'not proven'}")


if __name__ == "__main__":
    main()
