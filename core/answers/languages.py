"""Small words of languages that are not read here, by which such a text is known; and words of an evening's answer.

From memory. Which language it is does not matter, only that it is not one that can be read. Accents are left out.
"""

import re
import unicodedata
from collections import Counter
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from core.answers.lexicon import Lexicon
from core.answers.tokens import normalise

_LANGUAGES = {
    "fr": """a le la les un une des du de au aux et ou mais donc car je j tu il elle on nous vous ils elles me m te
        se ce c cet cette ces ca mon ma mes ton ta son sa ses notre votre leur que qu qui quoi dont ne n pas
        plus rien jamais tout toute tous toutes est es suis sont etait etais ai as ont avez avons avait eu ete
        fait faite faites faire fais va vais bien mal tres trop peu assez beaucoup aussi encore deja avec sans
        pour par sur sous dans en chez depuis pendant apres avant quand comme si y d l s aujourd hui hier
        demain soir matin nuit jour journee semaine heures douleur coude bras main poignet serie series
        exercice exercices moins mieux pire zero deux trois quatre cinq sept huit neuf moitie oui non
        seulement habitude juste parce jusqu meme chose fatigue fatiguee merci deviennent peux ni premiere
        derniere sauf demie content aucun aucune""",
    "es": """el la los las un una unos unas de del al y e o pero porque que quien cual como cuando donde si no yo
        tu ella nosotros ustedes me te se lo le les mi mis su sus este esta estos estas eso esto es soy son
        fue era estaba estoy hay he ha han hice hizo hecho hecha hechas hacer hago puedo tengo tuve muy mas
        menos mucho poco algo nada todo toda todos todas bien mal mejor peor con sin para por sobre en entre
        desde hasta despues antes luego ya tambien solo hoy ayer manana noche tarde dia semana dolor duele
        codo brazo mano serie series ejercicio ejercicios dos tres cuatro cinco seis siete ocho nueve diez
        mitad igual cuenta contar anoche cansado cansada siento molesta cero gracias nuevo""",
    "de": """der die das den dem des ein eine einen einem einer und oder aber denn weil dass ich du er sie es wir
        ihr mich mir dich sich mein meine meinen meiner ist bin sind war waren habe hab hat hatte haben wird
        werde kann konnte muss nicht nichts kein keine keinen alle alles allen nur noch schon auch sehr zu zum
        zur mit ohne bei beim von vom aus auf an am im in um uber unter nach vor seit bis dann als wie wenn wo
        was so ja nein heute gestern morgen morgens abend nacht tag woche schmerz schmerzen ubung ubungen
        ellbogen arm hand gemacht geschafft gut besser schlechter schlimmer etwas bisschen mehr weniger leider
        drei vier funf sechs sieben acht neun zwei halfte satze mal gleich warm ordnung neues hier jetzt""",
    "pl": """i a w z na do od po za o u nie tak to ten ta te tego tej co jak kiedy gdzie czy bo ale lub albo oraz
        ja ty on ona my wy mnie mi sie moj moja moje jest sa byl byla bylo bylem bylam bedzie mam ma moge moze
        bardzo tylko tez juz jeszcze troche wszystko wszystkie nic zaden bez przed przy pod nad dla przez dzis
        dzisiaj wczoraj jutro rano wieczorem noc dzien tydzien bol bolu boli lokiec reka serie serii seria
        cwiczenia cwiczen cwiczyc zrobilem zrobilam zrobione dwa dwie trzy cztery piec polowa lepiej gorzej
        mniej wiecej dobrze zle sam samo niz mialem mialam zmeczony zmeczona potem prawie zwykle zapomnialem
        zapomnialam przepraszam""",
    "pt": """o a os as um uma uns umas de do da dos das no na nos nas ao aos em e ou mas porque que quem como
        quando onde se nao sim eu tu ele ela voce eles me te lhe meu minha meus minhas seu sua este esta isso
        isto sou sao foi era estava estou tenho tive fiz fez feito feita feitas fazer posso muito mais menos
        pouco algo nada tudo todo toda todos todas bem mal melhor pior com sem para por sobre entre desde ate
        depois antes ja tambem so hoje ontem amanha noite tarde dia semana dor doi cotovelo braco mao serie
        series exercicio exercicios dois duas tres quatro cinco metade igual obrigado obrigada desculpa novo
        cansado cansada vou""",
    "it": """il lo la i gli le un uno una di del della dei delle dello da dal dalla in nel nella a al alla con
        senza per su sul sulla tra fra e o ma perche che chi come quando dove se non si io tu lui lei noi voi
        loro mi ti ci ne mio mia miei mie suo sua questo questa quello sono era ero stato stata ho ha hanno
        fatto fatta fatte fatti fare posso molto piu meno poco qualcosa niente nulla tutto tutta tutti tutte
        bene male meglio peggio ancora gia anche solo oggi ieri domani sera mattina notte giorno settimana
        dolore gomito braccio mano polso serie esercizio esercizi due tre quattro cinque sei sette otto nove
        dieci meta troppo poi dopo prima solito nessun stanco stanca dispiace va""",
    "tr": """ve veya ama fakat cunku icin ile gibi kadar daha cok az biraz hic her sey bir bu su o ben sen biz siz
        onlar bana beni benim senin var yok degil mi mu evet hayir bugun dun dunku dunden yarin sabah aksam
        akşam gece gun hafta agri agrisi agriyor dirsek dirsegim kol kolum set setleri yaptim yapamadim yapti
        hepsini hepsi butun tum tamam sadece yarisini iki uc dort bes alti alt iyi kotu yorgun yorgundum ne
        nasil zaman sonra once unuttum uyudum oglum oğlum ozur dilerim gecti yeni acarken yolunda egzersiz""",
    "ro": """si sau dar pentru ca care ce cine cum cand unde daca nu da eu tu el ea noi voi ei ele ma mi te se il o
        lui meu mea mei mele un una unei unui al ale cel cea cei este e sunt era eram am ai are au avut fost
        facut fac face pot poate foarte mai putin mult tot toate toata totul nimic bine rau cu fara la in din
        de pe prin despre spre dupa inainte pana acum azi ieri maine seara dimineata noaptea zi saptamana
        durere durerea doare cotul bratul mana serii seriile exercitii doi doua trei patru cinci jumatate doar
        apoi decat fel obosit obosita scuze ori""",
    "nl": """de het een en of maar want omdat dat die dit deze ik je jij hij zij ze we wij jullie mij me mijn zijn
        haar ons is ben bent was waren heb hebt heeft had hebben wordt word kan kon moet mag niet niets geen
        alle alles alleen ook nog al heel erg zeer veel weinig meer minder goed beter slechter met zonder voor
        van naar bij op aan in uit om over onder na tot dan als toen wie wat waar hoe ja nee vandaag gisteren
        morgen ochtend ochtends avond nacht dag week pijn elleboog arm hand gedaan doet oefening oefeningen
        keer twee drie vier vijf zes zeven acht negen helft beetje anders hetzelfde moe spijt vergeten ging""",
    "sv": """och eller men att det den de en ett jag du han hon vi ni mig min mitt mina ar var har hade inte ingen
        inget alla allt bara ocksa mycket lite mer mindre bra battre med utan for fran till pa av om efter
        innan som nar idag igar imorgon dag kvall morgon natt smarta ont armbage gjort gora klar klara ovning
        ovningar tva tre fyra hann kunde""",
    "no": """og eller men at det den de en et jeg du han hun vi meg min mitt mine er var har hadde ikke ingen alt
        alle bare ogsa mye litt mer mindre bra bedre med uten for fra til paa av om etter som nar nå i dag gar
        morgen kveld natt smerte smerter vondt albue gjort lavet ovelser ovelse to tre fire ondt meget lidt
        hvad hva kan""",
    "fi": """ja tai mutta etta se ne mina sina han me te he en ei ole olen on oli olivat ovat kun niin kuin vain
        myos hyvin paljon vahan kaikki mitaan tanaan eilen huomenna aamulla illalla kipu kipua kyynarpaa tein
        tehty sarjaa sarjat kaksi kolme nelja viisi ilman kanssa jo viela""",
    "cs": """a i ale nebo ze to ten ta je jsem jsi jsou byl byla bylo neni nebyl mam mela mel nemela nemel se si na
        do od po za s z v ve u o pro bez pred pri jak kdy kde co ja ty on ona my vy me muj moje vsechno
        vsechny nic jen jeste uz moc trochu vice mene dnes vcera zitra rano vecer noc den bolest boli loket
        ruka cviceni serie hotovo udelal udelala dva dve tri ctyri lepe hure dobre nez cas""",
    "hu": """a az egy es vagy de hogy nem igen ez is csak meg mar mint ha mert nagyon kicsit minden mindent semmi
        ma tegnap holnap reggel este ejjel nap het fajdalom faj konyok kar en te o mi ti ok volt van vagyok
        lesz voltam megcsinaltam csinaltam gyakorlat gyakorlatot gyakorlatok ket harom negy ot jobb rosszabb
        jol idom faradt nelkul utan""",
    "hr": """i ili ali da ne je sam si su smo bio bila bilo nije nisam imam ima se na u od do za s sa po pri bez
        kako kad gdje sto sta ja ti on ona mi vi me moj moja moje sve svi nista samo jos vec vrlo malo vise
        manje danas jucer sutra ujutro vecer noc dan bol boli lakat ruka vjezbe vezbe vjezba uradio uradila
        napravio napravila dva dvije tri cetiri bolje gore dobro nego""",
    "id": """yang dan atau tapi karena di ke dari untuk dengan tanpa pada ini itu saya aku kamu dia kami kita
        mereka tidak nggak bukan sudah belum akan bisa ada semua sedikit banyak lebih kurang hanya juga lagi
        hari kemarin besok pagi malam sakit nyeri siku tangan lengan latihan set selesai dua tiga empat lima
        baik sama seperti sekali sempat capek""",
    "vi": """toi ban anh chi em khong co la va hoac nhung vi cua cho voi da dang se duoc rat hon it nhieu hom nay
        qua mai sang dem dau khuyu tay bai tap het tat ca mot hai ba bon nam lam xong""",
    "sw": """na ya wa za la kwa ni si katika lakini au kwamba mimi wewe yeye sisi yote wote zote leo jana kesho
        asubuhi jioni usiku maumivu mkono kiwiko mazoezi nimefanya sikufanya nilikuwa nina kidogo sana tu bila
        baada kabla mbili tatu nne sababu""",
    "tl": """ang ng sa mga na ay at o pero kasi ako ikaw siya kami tayo sila ko mo niya hindi wala may lahat lang
        din rin pa po opo ngayon kahapon bukas umaga gabi araw masakit siko kamay ginawa nagawa dalawa tatlo
        apat mas kaunti yung""",
    "so": """waa iyo laakiin aan ma maya haa maanta shalay berri waan wuxuu waxaan ayaa ku ka oo la sida dhammaan
        xanuun xanuunka gacanta jimicsi jimicsiga sameeyay laba saddex afar yar badan""",
    "sq": """dhe ose por se qe nuk jam eshte ishte kam ka ne me pa per nga te i e sot dje neser mengjes mbremje
        dhimbje dhimbja berryl ushtrime ushtrimet bera gjitha pak shume mire dy tre kater vetem""",
}

SMALL_WORDS: Mapping[str, frozenset[str]] = MappingProxyType(
    {language: frozenset(words.split()) for language, words in _LANGUAGES.items()}
)


_LOOKED_AT = 1_000  # characters: the language of a text shows early
_MANY = 4  # words from which a text of unknown words is another language
_KNOWN = 0.25  # of them that a text in a language that can be read has at least
_SURE = 3  # known words in a row of which a sentence amid another language is read
_PLAIN = str.maketrans("łøıđ", "loid")  # letters that keep their stroke or lose their dot when accents are left out
_WORD = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)*")
_SENTENCE = re.compile(r"[;!?]|\.(?!\d)|(?<!\d)\.")
_CLAUSE = re.compile(r",(?!\d)|(?<!\d),")  # "4,5" is a decimal where points are commas
_BARE = re.compile(r"\d{1,2}(?: ?/ ?\d{1,2})?")


def readable(text: str, lexicon: Lexicon) -> bool:
    """False for another script or language than the lexicon's; digits and pictures alone are readable."""
    words = _words(normalise(text[:_LOOKED_AT]))
    if not words:
        return True
    if _other_script(words):
        return False
    known = _known(words, lexicon)
    if known == len(words):
        return True
    return known >= _elsewhere(words, lexicon) and (len(words) < _MANY or known >= _KNOWN * len(words))


def readable_part(text: str, lexicon: Lexicon) -> str:
    """Of a text in another language the numbers that are a clause by themselves, and sentences surely in this one.

    The 4 and the 3 of "4. 3, tres bien", not of "4 kilos".
    """
    kept: list[str] = []
    for sentence in _SENTENCE.split(normalise(text)):
        if _surely(sentence, lexicon):
            kept.append(sentence)
        else:
            kept += [clause for part in _CLAUSE.split(sentence) if _BARE.fullmatch(clause := part.strip())]
    return ". ".join(kept)


def _words(plain: str) -> list[str]:
    return _WORD.findall(plain.translate(_PLAIN))


def _other_script(words: Sequence[str]) -> bool:
    letters = "".join(words)
    if letters.isascii():
        return False
    latin = sum(char.isascii() or unicodedata.name(char, "").startswith("LATIN") for char in letters)
    return 2 * latin < len(letters)


def _surely(sentence: str, lexicon: Lexicon) -> bool:
    words = _words(sentence)
    return len(words) >= _SURE and _known(words, lexicon) == len(words) >= 2 * _elsewhere(words, lexicon)


def _known(words: Sequence[str], lexicon: Lexicon) -> int:
    return sum(_is_known(word, lexicon) for word in words)


def _is_known(word: str, lexicon: Lexicon) -> bool:
    """A word of the lexicon, a short form of one ("can't"), or a slip from one that no other language has."""
    stem, mark, _ = word.partition("'")
    if mark:
        short = word.endswith(tuple(lexicon.contraction_endings))
        return word in lexicon.known or (short and stem.removesuffix("n") in lexicon.known)
    return word in lexicon.known or lexicon.speller.correct(word) != (word,)


def _elsewhere(words: Sequence[str], lexicon: Lexicon) -> int:
    """The most of the words that are of one other language; a part will do: "aujourd'hui"."""
    found: Counter[str] = Counter()
    for word in words:
        parts = (word, *word.split("'")) if "'" in word else (word,)
        found.update({language for part in parts for language in lexicon.languages_of.get(part, ())})
    return max(found.values(), default=0)
