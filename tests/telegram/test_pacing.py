"""How fast the bot may send, and how long it waits after a failure."""

from __future__ import annotations

from heapq import heappop, heappush

from hypothesis import given
from hypothesis import strategies as st
from telegram.error import BadRequest, ChatMigrated, Forbidden, InvalidToken, NetworkError, RetryAfter, TimedOut

from bot.channels.pauses import JITTER, Backoff, pause
from bot.channels.telegram.outcomes import Elsewhere, Later, Never, Shut, outcome
from bot.channels.telegram.pacing import Pacing


def times(pacing: Pacing, chats: list[int], start: float = 0.0) -> list[tuple[float, int]]:
    """When each message goes, for one to each chat named, each as soon as it may."""
    sent, now = list[tuple[float, int]](), start
    for chat in chats:
        while wait := pacing.ask(chat, now):
            now += wait
        pacing.ended(chat, now)
        sent.append((now, chat))
    return sent


def busiest(moments: list[float], span: float) -> int:
    """The most messages within a span."""
    return max(sum(moment <= other < moment + span for other in moments) for moment in moments)


def test_a_chat_gets_about_one_a_second_after_a_burst() -> None:
    """Three go at once, then no more than three in three seconds."""
    moments = [moment for moment, _ in times(Pacing(), [7] * 12)]
    assert moments[:3] == [0.0, 0.0, 0.0]
    assert busiest(moments, 3.0) == 3
    assert moments[-1] < 12


def test_a_group_gets_twenty_a_minute() -> None:
    """Of thirty messages to a group the first twenty go as to anybody, the others in the next minute."""
    moments = [moment for moment, _ in times(Pacing(), [-7] * 30)]
    assert busiest(moments, 60.0) == 20
    assert moments[19] < 25
    assert moments[20] > 60


def test_all_chats_together_get_thirty_a_second() -> None:
    """A message to each of ninety chats takes some three seconds."""
    moments = [moment for moment, _ in times(Pacing(), list(range(1, 91)))]
    assert busiest(moments, 1.0) <= 30
    assert 2 < moments[-1] < 4


def test_a_chat_on_hold_holds_no_other_up() -> None:
    """What the service asked for one chat is kept for that chat alone, until it is over."""
    pacing = Pacing()
    pacing.hold(7, 30.0)
    assert pacing.ask(7, 10.0) == 20.0
    assert pacing.ask(8, 10.0) == 0.0
    assert pacing.ask(7, 30.0) == 0.0


def test_quiet_chats_are_forgotten() -> None:
    """What is remembered does not grow with every chat that ever was."""
    pacing = Pacing()
    for chat in range(1, 9000):
        assert pacing.ask(chat, chat * 1.0) == 0.0
        pacing.ended(chat, chat * 1.0)
    assert len(pacing.chats) <= 4096


def test_pauses_double_up_to_a_limit() -> None:
    """1, 2, 4 … 60 seconds, each a little more or less by chance; then from the start."""
    assert [pause(failures, 1, 60) for failures in (0, 1, 2, 5, 6, 90)] == [1, 2, 4, 32, 60, 60]
    backoff = Backoff()
    for planned in (1, 2, 4):
        assert planned * (1 - JITTER) <= backoff.next() <= planned * (1 + JITTER)
    backoff.reset()
    assert backoff.next() <= 1 + JITTER


def test_a_failure_says_what_becomes_of_the_parcel() -> None:
    """Floods wait as told, closed chats are shut, moved ones followed, refusals tried thrice, and the rest for ever."""
    assert outcome(RetryAfter(7), 0) == Later(8.0, whole_chat=True)
    assert outcome(Forbidden("bot was blocked by the user"), 0) == Shut()
    assert outcome(ChatMigrated(-1001), 0) == Elsewhere(-1001)
    assert outcome(BadRequest("chat not found"), 0) == Later(2.0, "BadRequest: chat not found")
    assert outcome(BadRequest("chat not found"), 2) == Never("BadRequest: chat not found")
    assert outcome(ValueError("no chat"), 2) == Never("ValueError: no chat")
    assert outcome(NetworkError("Request Entity Too Large"), 2) == Never("NetworkError: Request Entity Too Large")
    late = outcome(NetworkError("Bad Gateway"), 40)
    assert late == Later(300.0, "the service is out of order: NetworkError: Bad Gateway")


def test_an_unknown_outcome_is_called_that() -> None:
    """After a connection lost on the way the message may have arrived; after one that was never made it has not."""

    class ConnectError(Exception):
        pass

    lost, never = TimedOut(), NetworkError("httpx.ConnectError")
    lost.__cause__, never.__cause__ = TimeoutError(), ConnectError()
    for fault, words in (
        (lost, "it may have arrived"),
        (TimeoutError(), "it may have arrived"),
        (never, "not reached"),
    ):
        result = outcome(fault, 0)
        assert isinstance(result, Later)
        assert words in str(result.error)


def test_a_refused_token_is_kept_out_of_what_is_written_down() -> None:
    """The text of that error may hold the token; what the parcel keeps does not."""
    result = outcome(InvalidToken("The token `4839574812:AAFD39kkdpWt3ywyRZergyOLMaJhac60qcK` was rejected"), 0)
    assert result == Later(300.0, "the service refuses the bot's token")


def test_an_edit_need_not_wait_for_the_chat() -> None:
    """An edit goes at once where a new message would have to wait, unless the chat is on hold."""
    pacing = Pacing()
    for _ in range(3):
        assert pacing.ask(7, 1.0) == 0.0
        pacing.ended(7, 1.0)
    assert pacing.ask(7, 1.0) > 2.0
    assert pacing.ask(7, 1.0, edit=True) == 0.0
    pacing.hold(7, 30.0)
    assert pacing.ask(7, 1.0, edit=True) == 29.0


@given(took=st.lists(st.floats(0.0, 9.0), min_size=60, max_size=90), arrives=st.lists(st.floats(0.0, 1.0), min_size=90))
def test_however_long_requests_take_the_service_gets_no_more_than_it_allows(
    took: list[float], arrives: list[float]
) -> None:
    """A request is counted by the service somewhere between its start and its end: in no second are there more than thirty."""
    pacing, now = Pacing(), 0.0
    ends: list[tuple[float, int]] = []
    got: list[float] = []
    for chat, (span, share) in enumerate(zip(took, arrives, strict=False), 1):
        while True:
            while ends and ends[0][0] <= now:
                end, of = heappop(ends)
                pacing.ended(of, end)
            if not (wait := pacing.ask(chat, now)):
                break
            now += wait
        heappush(ends, (now + span, chat))
        got.append(now + span * share)
    assert busiest(got, 1.0) <= 30
