"""The same photograph sent many times at once: every time a study, and never an error."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import numpy as np

from seamlore.photo.files.encoding import to_jpeg

PICTURE = to_jpeg(np.full((900, 1200, 3), 140, np.uint8))


def test_twelve_of_the_same_photograph_sent_at_once_all_begin_a_study(client, shelf):
    def send(_):
        sent = {"photograph": ("star.jpg", PICTURE, "image/jpeg")}
        return client.post("/studies", files=sent, follow_redirects=False).status_code

    with ThreadPoolExecutor(12) as pool:
        assert list(pool.map(send, range(12))) == [303] * 12
    assert len(shelf.studies()) == 12


def test_twelve_in_one_request_all_begin_a_study(client, shelf):
    answer = client.post("/studies", files=[("photograph", ("star.jpg", PICTURE, "image/jpeg"))] * 12)
    assert answer.status_code == 200
    assert len(shelf.studies()) == 12
