"""The tones of a set as a voice message: falling while one lowers, rising while one lifts, a tick a second at the end.

Samples by the standard library alone; Opus in Ogg (RFC 7845), which the messaging service plays as a voice message.
"""

import io
import math
from array import array
from functools import cache

import soundfile

from bot.drawn.routine import ClipFacts

RATE = 8_000  # the least that Opus knows, and more than enough: nothing here is above 700 hertz
LOUD, SOFT = 0.5, 0.3  # of full scale: 6 and 10 dB below it
LOW, MIDDLE, HIGH = 350.0, 440.0, 700.0  # hertz; a phone's speaker plays little below 300
TICK, LONG, SHORT, RAMP_S = 0.08, 0.4, 0.15, 0.01  # seconds; a tone that starts or ends at once clicks
TICKS = 3  # seconds counted down before something new
END_S = 1.0
COMPRESSION = 0.97  # 0 least, 1 most: about 13 kilobits a second, a quarter of what speech gets


def make_clip(facts: ClipFacts) -> bytes:
    """The clip as an Ogg file, as long as its acts and a second more."""
    out, sound = io.BytesIO(), b"".join(_act(act, seconds) for act, seconds in facts.acts) + _end()
    file = soundfile.SoundFile(
        out, "w", samplerate=RATE, channels=1, format="OGG", subtype="OPUS", compression_level=COMPRESSION
    )
    with file:
        file.buffer_write(sound, dtype="int16")
    return out.getvalue()


@cache
def _act(act: str, seconds: int) -> bytes:
    """The samples of one act, 16 bits each."""
    if act == "lower":
        return _tone(HIGH, LOW, seconds, SOFT)
    if act == "lift":
        return _tone(LOW, HIGH, seconds, SOFT)
    starts = {"hold": _tone(HIGH, HIGH, LONG, LOUD), "change": _tone(MIDDLE, MIDDLE, LONG, LOUD)}
    if act == "back":
        return _filled(_tone(HIGH, HIGH, SHORT, LOUD) + _silence(SHORT) + _tone(HIGH, HIGH, SHORT, LOUD), seconds)
    ticks = b"".join(_filled(_tone(MIDDLE, MIDDLE, TICK, LOUD), 1) for _ in range(min(TICKS, seconds)))
    before = seconds - min(TICKS, seconds)
    return (_filled(starts.get(act, b""), before) if before else b"") + ticks


def _end() -> bytes:
    return _filled(_tone(MIDDLE, MIDDLE, SHORT, LOUD) + _tone(HIGH, HIGH, LONG, LOUD), END_S)


def _tone(first: float, last: float, seconds: float, loud: float) -> bytes:
    """A tone that glides from one pitch to the other, swelling and fading so that it does not click."""
    count, ramp, turn = round(seconds * RATE), RAMP_S * RATE, 0.0
    samples = array("h")
    for n in range(count):
        turn += 2 * math.pi * (first + (last - first) * n / count) / RATE
        edge = min(1.0, n / ramp, (count - 1 - n) / ramp)
        samples.append(round(32767 * loud * edge * math.sin(turn)))
    return samples.tobytes()


def _silence(seconds: float) -> bytes:
    return bytes(2 * round(seconds * RATE))


def _filled(sound: bytes, seconds: float) -> bytes:
    """With silence after it, or cut, so that it lasts exactly so long."""
    whole = 2 * round(seconds * RATE)
    return sound[:whole] + bytes(max(whole - len(sound), 0))
