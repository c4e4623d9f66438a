"""Texts in a language that cannot be read: never read as English."""

import pytest

from core.answers import understand
from core.answers.lexicon import lexicon_of
from core.answers.reading import readable
from core.model import Flag
from tests.core.answers.tables import cases, other_languages, signs

ENGLISH = lexicon_of("en")

# Universal Declaration of Human Rights, article 1, first sentence (part of one where it is long); from memory.
# Catalan, Basque, Slovak, Slovene, Malay, Estonian, Lithuanian, Latvian, Latin have no small words listed here.
ARTICLE_ONE = (
    "Tous les êtres humains naissent libres et égaux en dignité et en droits.",
    "Todos los seres humanos nacen libres e iguales en dignidad y derechos.",
    "Alle Menschen sind frei und gleich an Würde und Rechten geboren.",
    "Tutti gli esseri umani nascono liberi ed eguali in dignità e diritti.",
    "Todos os seres humanos nascem livres e iguais em dignidade e em direitos.",
    "Alle mensen worden vrij en gelijk in waardigheid en rechten geboren.",
    "Wszyscy ludzie rodzą się wolni i równi pod względem swej godności i swych praw.",
    "Toate ființele umane se nasc libere și egale în demnitate și în drepturi.",
    "Bütün insanlar hür, haysiyet ve haklar bakımından eşit doğarlar.",
    "Alla människor är födda fria och lika i värde och rättigheter.",
    "Alle mennesker er født frie og lige i værdighed og rettigheder.",
    "Kaikki ihmiset syntyvät vapaina ja tasavertaisina arvoltaan ja oikeuksiltaan.",
    "Všichni lidé rodí se svobodní a sobě rovní co do důstojnosti a práv.",
    "Minden emberi lény szabadon születik és egyenlő méltósága és joga van.",
    "Sva ljudska bića rađaju se slobodna i jednaka u dostojanstvu i pravima.",
    "Semua orang dilahirkan merdeka dan mempunyai martabat dan hak-hak yang sama.",
    "Tất cả mọi người sinh ra đều được tự do và bình đẳng về nhân phẩm và quyền.",
    "Watu wote wamezaliwa huru, hadhi na haki zao ni sawa.",
    "Të gjithë njerëzit lindin të lirë dhe të barabartë në dinjitet dhe në të drejta.",
    "Tots els éssers humans neixen lliures i iguals en dignitat i en drets.",
    "Gizon-emakume guztiak aske jaiotzen dira, duintasun eta eskubide berberak dituztela.",
    "Všetci ľudia sa rodia slobodní a sebe rovní, čo sa týka ich dôstojnosti a práv.",
    "Vsi ljudje se rodijo svobodni in imajo enako dostojanstvo in enake pravice.",
    "Semua manusia dilahirkan bebas dan samarata dari segi kemuliaan dan hak-hak.",
    "Kõik inimesed sünnivad vabadena ja võrdsetena oma väärikuselt ja õigustelt.",
    "Visi žmonės gimsta laisvi ir lygūs savo orumu ir teisėmis.",
    "Visi cilvēki piedzimst brīvi un vienlīdzīgi savā pašcieņā un tiesībās.",
    "Omnes homines liberi aequique dignitate atque iuribus nascuntur.",
    "Все люди рождаются свободными и равными в своем достоинстве и правах.",
)
IN_ENGLISH = (
    "All human beings are born free and equal in dignity and rights.",
    "They are endowed with reason and conscience and should act towards one another in a spirit of brotherhood.",
    "Everi human being, na free dem born am and dem get equal rights and respect.",  # Nigerian Pidgin, from memory
)


@pytest.mark.parametrize("text", ARTICLE_ONE)
def test_article_one_in_another_language_is_not_read(text: str) -> None:
    found = understand(text)

    assert (found.unreadable, found.flag, found.unread) == (True, None, text)


@pytest.mark.parametrize("text", IN_ENGLISH)
def test_article_one_in_english_is_read(text: str) -> None:
    assert not understand(text).unreadable


def test_an_evening_line_in_another_language_gives_bare_digits_and_no_flag() -> None:
    wrong = {}
    for language, pain, sets, text in other_languages():
        found = understand(text)
        numbers = tuple("" if number is None else str(number) for number in (found.pain, found.sets))
        rest = (found.unreadable, found.flag, found.maybe, found.wish, found.unread)
        if (numbers, rest) != ((pain, sets), (True, None, None, None, text)):
            wrong[language, text] = (numbers, rest)

    assert wrong == {}


def test_english_of_every_voice_is_read() -> None:
    corpora = ("corpus_dev", "corpus_sealed", "corpus_voices_dev", "corpus_voices_tuned", "corpus_danger_dev")
    texts = [case.text for name in (*corpora, "typing", "danger", "numbers") for case in cases(name)]
    texts += [text for _, text in signs()]

    assert len(texts) > 4_000
    assert [text for text in texts if not readable(text, ENGLISH)] == []


@pytest.mark.parametrize("text", ["4", "4, 3", "4/10", "👍", "4️⃣", "٤", "ok", "oops 4", "xqzt"])
def test_digits_pictures_and_a_lone_unknown_word_are_readable(text: str) -> None:
    assert not understand(text).unreadable


@pytest.mark.parametrize(
    ("text", "flag"),
    [
        ("j'ai tout fait ce soir, un peu fatigué. I want to kill myself", Flag.DISTRESS),
        ("сегодня всё хорошо, сделал все упражнения, болит меньше. my chest hurts and i can't breathe", Flag.URGENT),
    ],
)
def test_an_english_sentence_amid_another_language_is_heard(text: str, flag: Flag) -> None:
    found = understand(text)

    assert (found.unreadable, found.flag) == (True, flag)


@pytest.mark.parametrize("text", ["4,5 de douleur, tout fait", "4 séries ce soir", "environ 4 pour le coude"])
def test_a_number_with_a_word_of_another_language_beside_it_is_not_taken(text: str) -> None:
    found = understand(text)

    assert (found.pain, found.sets) == (None, None)
