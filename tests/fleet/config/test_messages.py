"""Messages as files: whole or not there; one that is torn is put aside and stops nobody."""

from __future__ import annotations

from pathlib import Path
from queue import Empty

import pytest
from celery import Celery
from kombu import Connection
from kombu.exceptions import ChannelError

import fleet.config.celery


@pytest.fixture
def channel(tmp_path: Path):
    messages, control = tmp_path / "messages", tmp_path / "control"
    messages.mkdir()
    control.mkdir()
    options = {"data_folder_in": str(messages), "data_folder_out": str(messages)}
    options["control_folder"] = str(control)
    with Connection("folder://localhost", transport_options=options) as link:
        yield link.channel()


def test_what_is_sent_is_taken_once(channel):
    channel._put("nudges", {"number": 1})
    channel._put("others", {"number": 2})

    assert channel._get("nudges") == {"number": 1}
    with pytest.raises(Empty):
        channel._get("nudges")
    assert channel._get("others") == {"number": 2}


@pytest.mark.parametrize("junk", [b"", b"{", b"\xff\xfe\x00", b"[1, 2"])
def test_a_torn_message_is_put_aside_and_the_next_is_taken(channel, tmp_path, junk):
    for number in range(5):
        (tmp_path / "messages" / f"0_{number}.nudges.msg").write_bytes(junk)
    channel._put("nudges", {"number": 7})

    assert channel._get("nudges") == {"number": 7}
    assert len(list((tmp_path / "aside").iterdir())) == 5
    assert list((tmp_path / "messages").iterdir()) == []


def test_a_torn_table_of_listeners_is_written_anew(channel, tmp_path):
    channel._queue_bind("pings", "all", "", "nudges")
    [table] = (tmp_path / "control").iterdir()
    table.write_bytes(b"")

    assert channel.get_table("pings") == []
    table.write_bytes(b"")
    channel._queue_bind("pings", "all", "", "nudges")

    assert [row.queue for row in channel.get_table("pings")] == ["nudges"]


def test_a_message_that_finds_no_room_leaves_nothing_half_written(channel, tmp_path, monkeypatch):
    def no_room(self, text):
        with self.open("w") as file:
            file.write(text[:3])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_text", no_room)
    with pytest.raises(ChannelError, match="No space left"):
        channel._put("nudges", {"number": 1})

    assert list((tmp_path / "messages").iterdir()) == []


def test_the_application_sends_by_this_way_unless_a_broker_is_named():
    app: Celery = fleet.config.celery.app

    assert str(app.conf.broker_url).startswith("folder://")
