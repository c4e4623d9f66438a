"""Train the ear of English and print what it hears out of fold: `python -m tests.training` (a minute; needs .[train]).

Seeded: the same texts give the same file. The thresholds come from the scores that ordinary harmless answers get from
a model that has not seen them, never from a set that is kept for measuring.
"""

import random
from pathlib import Path

import numpy as np
import scipy.sparse
from sklearn.linear_model import LogisticRegression

from core.answers import ear
from core.answers.ear import HEARS, PLACES, Ear, pack, places_of, stretches
from core.answers.lexicon import lexicon_of
from tests.training.texts import NOTHING, Text, texts

FOLDS = 5
STRENGTH = 12.0  # of the fit, chosen out of fold among 3 to 40
ASKED, STOPPED = 0.02, 0.003  # shares of ordinary answers that may be asked about, and stopped, by this ear alone
BORNE_OUT = 0.10  # and in how many it may bear out the rules, which alone hear danger in few of them
UNHEARD = lexicon_of("en").words.unheard
FILE = Path(ear.__file__).parent / "ears" / "en.bin"
# an answer around a text changes nothing about it: each text is learnt with and without one
AROUND = (
    "{}", "4 did all {}", "{} 3, 4 sets", "pain 5 did 2 of 4, {}", "6 none. {}", "{}. pain was 4 and i did them all",
    "hi, {}", "sorry only 2 sets today, pain 7. {}",
)  # fmt: skip


def matrix(words: list[list[str]]) -> scipy.sparse.csr_matrix:
    """A row for each: every place that is heard, at one over the root of their number."""
    rows = [sorted(places_of(each)) for each in words]
    starts = np.cumsum([0, *map(len, rows)])
    values = np.concatenate([np.full(len(row), 1 / np.sqrt(max(len(row), 1))) for row in rows])
    return scipy.sparse.csr_matrix((values, np.concatenate(rows).astype(int), starts), shape=(len(rows), PLACES))


def fit(known: list[Text]) -> Ear:
    chance = random.Random(1)
    learnt = [(text.words, text.label) for text in known]
    learnt += [(chance.choice(AROUND).format(text.words), text.label) for text in known]
    pairs = [(words, label) for text, label in learnt for words in stretches(text, UNHEARD) if words]
    model = LogisticRegression(C=STRENGTH, max_iter=300)
    model.fit(matrix([words for words, _ in pairs]), [label for _, label in pairs])
    weights = (np.clip(np.rint(model.coef_ * ear.QUANTUM), -127, 127) + 128).astype(np.uint8)
    return Ear(tuple(row.tobytes() for row in weights), tuple(map(float, model.intercept_)), 1.0, 1.0, 1.0, UNHEARD)


def out_of_fold(known: list[Text]) -> list[float]:
    """How dangerous each text sounds to an ear that has not learnt it."""
    chance = random.Random(2)
    folds = [chance.randrange(FOLDS) for _ in known]
    scores = [0.0] * len(known)
    for fold in range(FOLDS):
        hearing = fit([text for text, its in zip(known, folds, strict=True) if its != fold])
        for at, text in enumerate(known):
            if folds[at] == fold:
                scores[at] = hearing.hear(text.words).danger
    return scores


def main() -> None:
    known = texts()
    scores = np.array(out_of_fold(known))
    labels = np.array([text.label for text in known])
    ordinary = scores[[text.ordinary for text in known]]
    maybe, sure, agree = (float(np.quantile(ordinary, 1 - share)) for share in (ASKED, STOPPED, BORNE_OUT))
    print(f"{len(known)} texts; out of fold, on {len(ordinary)} ordinary answers:")
    print(f"  asked from {maybe:.3f}, sure from {sure:.3f}, bears the rules out from {agree:.3f}")
    for place, name in enumerate([*(flag.value for flag in HEARS), "nothing"]):
        own = scores[labels == place]
        print(f"  {name:12} {len(own):5} heard {np.mean(own >= maybe):6.1%} sure {np.mean(own >= sure):6.1%}")
    whole = fit(known)
    FILE.parent.mkdir(exist_ok=True)
    FILE.write_bytes(pack(Ear(whole.weights, whole.biases, maybe, sure, agree)))
    print(f"{FILE.name}: {FILE.stat().st_size:,} bytes")


if __name__ == "__main__":
    assert len(HEARS) == NOTHING
    main()
