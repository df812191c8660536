"""The rooms in which wrong changes are tried, and the tests that should notice."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Room:
    """What is changed, and the tests that should notice.

    Attributes
    ----------
    code
        Globs of the modules that are changed, from the project's folder.
    tests
        The tests that are run, files or folders.
    without
        Tests among them that are left out: hundreds of simulated quilts take seconds for every change that nothing
        else notices. What they alone would notice counts as unnoticed.
    each
        How many changes are tried: more where tests are quick.
    blocks
        Of tests that are made for every block of the catalogue, those of one in so many are run: a change that nothing
        notices takes all of them. What only others would notice counts as unnoticed.
    """

    code: tuple[str, ...]
    tests: tuple[str, ...]
    without: tuple[str, ...] = ()
    each: int = 150
    blocks: int = 1


ROOMS = {
    "lengths": Room(("src/seamlore/lengths/*.py",), ("tests/lengths",), each=300),
    "draft": Room(("src/seamlore/draft/*.py", "src/seamlore/draft/*/*.py"), ("tests/draft",), each=100, blocks=10),
    "placing": Room(("src/seamlore/placing/*.py",), ("tests/placing",), each=100),
    "making": Room(("src/seamlore/making/*.py",), ("tests/making",), each=200),
    "study": Room(
        ("src/seamlore/study/*.py",),
        ("tests/study",),
        (
            "tests/study/test_adjustment.py::test_the_true_cause_is_found_as_often_as_is_claimed",
            "tests/study/test_fit.py::test_evidence_of_a_slip_agrees_with_numerical_integration",
            "tests/study/test_sums.py::test_what_is_said_of_a_simulated_quilt_never_contradicts_itself",
        ),
    ),
    "chronology": Room(("src/seamlore/chronology/*.py",), ("tests/chronology",)),
    # Programs that are killed at random moments are left out: each takes seconds, and what they show is not in one line.
    "shelf": Room(
        ("src/seamlore/shelf/*.py",),
        tuple(f"tests/shelf/test_{name}.py" for name in ("shelf", "photographs", "faults", "collection", "lists")),
        each=100,
    ),
    "edit": Room(("src/seamlore/steps/edit/*.py",), ("tests/steps/edit",)),
    "scale": Room(
        (
            "src/seamlore/printing/pages.py",
            "src/seamlore/printing/fragment.py",
            "src/seamlore/drawing/tiling.py",
            "src/seamlore/sheets/template_pages.py",
        ),
        ("tests/printing", "tests/drawing/test_tiling.py", "tests/sheets/test_template_pages.py"),
        each=150,
    ),
    "geometry": Room(
        (
            *(f"src/seamlore/photo/{name}.py" for name in ("alignment", "bows", "flatten", "frame", "perspective")),
            "src/seamlore/photo/edges/framing.py",
            "src/seamlore/plane/*.py",
        ),
        (
            *(f"tests/photo/test_{name}.py" for name in ("alignment", "bows", "flatten", "frame", "perspective")),
            "tests/photo/edges/test_tracing.py",
            "tests/plane",
        ),
        each=100,
    ),
}
