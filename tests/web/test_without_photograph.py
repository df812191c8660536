"""A whole quilt begun without a photograph and without a tape: every page answers, and every sheet is printed."""

from io import BytesIO

import pikepdf
import pytest

from seamlore.steps.order import STEPS


@pytest.fixture(params=["plain", "ohio star"])
def by_hand(client, desk, request):
    """A quilt of four by three blocks with one of another kind, entered by hand; gives its number."""
    number = desk.begin("By hand", None, "began")
    given = {"base": 0, "name": request.param, "size": "9 in", "columns": "4", "rows": "3"}
    assert client.post(f"/study/{number}/draft/begin", data=given).status_code in (200, 303)
    more = {"base": desk.study(number).revisions["choice"], "do": "new", "name": "shoo fly", "cell": "1,1"}
    assert client.post(f"/study/{number}/draft/cells", data=more).status_code == 200
    assert sorted(desk.study(number).job.quilt.counts.values()) == [1, 11]
    return number


def test_every_page_answers(client, by_hand):
    for step in STEPS:
        answer = client.get(f"/study/{by_hand}/{step.name}")
        assert answer.status_code == 200, step.name
        assert "has made a mistake" not in answer.text, step.name
    assert "ready to print" in client.get(f"/study/{by_hand}/tell").text
    assert "how large it is: nothing was measured" in client.get(f"/study/{by_hand}/tell").text.lower()


@pytest.mark.parametrize("name", ["study-sheet", "booklet", "label"])
def test_every_sheet_is_printed(client, by_hand, name):
    answer = client.get(f"/study/{by_hand}/tell/{name}.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    with pikepdf.open(BytesIO(answer.content)) as pdf:
        assert len(pdf.pages) >= 1
