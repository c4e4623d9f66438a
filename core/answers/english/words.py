"""English number words, short forms and glued units."""



_SMALL = "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen"
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80,
         "ninety": 90, "hundred": 100}  # fmt: skip
_SLIPS = {"fou": 4, "fve": 5, "sevn": 7, "eigt": 8, "thre": 3, "fuor": 4, "foru": 4, "tow": 2, "siz": 6, "sx": 6,
          "ziro": 0, "fiv": 5, "nin": 9, "oen": 1, "sxi": 6}  # fmt: skip

NUMBER_WORDS = {
    **{word: value for value, word in enumerate(_SMALL.split())},
    "seventeen": 17, "eighteen": 18, "nineteen": 19, "nil": 0, "nought": 0, "naught": 0, "zilch": 0, "nul": 0,
    **_TENS,
    **_SLIPS,
}  # fmt: skip
TENS = frozenset(_TENS)
AND_A_HALF = (("and", "a", "half"), ("and", "half"), ("n", "a", "half"), ("an", "a", "half"), ("1", "/", "2"))

BEFORE_PRONOUN = frozenset(
    "the this that last each every no any which other another hard bad good easy new big first second third"
    " some extra kg kgs kilo kilos kilogram kilograms lb lbs pound pounds gram grams red green blue yellow black heavy light"
    " heavier lighter".split()
)
AFTER_PRONOUN = frozenset("day thing more or time side way of-these moment minute".split())

SOUND_ALIKES = {"for": 4, "fore": 4, "to": 2, "too": 2, "tu": 2, "ate": 8, "won": 1, "tree": 3, "fife": 5, "sex": 6}
BEFORE_SOUND_ALIKE = frozenset("pain level score pain's did rating".split())
AFTER_SOUND_ALIKE = frozenset("did done sets set and out of".split())
SET_NOUNS = frozenset("set sets hold holds round rounds".split())

GLUED_UNITS = {"s": "seconds", "m": "minutes", "h": "hours", "g": "grams", "k": "kilos", "d": "days", "w": "weeks",
               "r": "reps", "l": "ll"}  # fmt: skip

WRITTEN_SHORT = {"2day": "today", "2nite": "tonight", "2night": "tonight", "2moro": "tomorrow", "b4": "before",
                 "4got": "forgot", "4get": "forget", "gr8": "great", "l8r": "later", "l8": "late", "m8": "mate",
                 "w8": "wait", "2mrw": "tomorrow", "4eva": "forever", "a&e": "emergency", "2moz": "tomorrow",
                 "no1": "nobody", "any1": "anybody", "d1d": "did", "a11": "all"}  # fmt: skip

CONTRACTION_ENDINGS = {"n't": "not", "'m": "am", "'re": "are", "'ve": "have", "'ll": "will", "'d": "would", "'s": "is"}

_NOT = "do does did is was are were have has had could would should".split()
EXPANSIONS = {
    **{f"{verb}nt": f"{verb} not" for verb in _NOT},
    **{f"{verb}n't": f"{verb} not" for verb in _NOT},
    "cant": "can not", "can't": "can not", "cannot": "can not", "wont": "will not", "won't": "will not",
    "dunno": "do not know", "aint": "is not", "ain't": "is not", "im": "i am", "ive": "i have", "its": "it is",
    "iv": "i have", "thats": "that is", "whats": "what is", "everythings": "everything is", "theres": "there is", "nothings": "nothing is", "somethings": "something is", "loosing": "losing", "num": "numb",
    "wun": "one", "packit": "packet", "pane": "pain", "naw": "no", "maist": "most", "hale": "whole", "suiside": "suicide", "sucide": "suicide", "strok": "stroke", "kilers": "killers", "meny": "many", "stuk": "stuck", "unlok": "unlock", "fiever": "fever", "hed": "head",
    "hes": "he is", "shes": "she is", "wanna": "want to", "gonna": "going to", "gotta": "have to", "u": "you",
    "ur": "your", "pls": "please", "plz": "please", "n": "and", "nd": "and", "w/o": "without", "thx": "thanks",
    "cuz": "because", "coz": "because", "cos": "because", "anymore": "any more", "tonite": "tonight",
    "evry": "every", "yday": "yesterday", "yest": "yesterday", "ystrday": "yesterday", "tmrw": "tomorrow",
    "tomoz": "tomorrow", "avg": "average", "secs": "seconds", "wk": "week", "wks": "weeks", "hols": "holiday",
    "msg": "message", "msgs": "messages", "xcept": "except", "abt": "about", "rn": "now", "didn": "did not", "em": "them", "forgt": "forgot", "forgett": "forgot",
    "everythin": "everything", "ev'thing": "everything", "nothin": "nothing", "no-one": "nobody", "noone": "nobody",
    "til": "till", "'til": "till", "k": "ok", "okay": "ok", "yh": "yes", "y": "yes", "yeh": "yes",
    "yeah": "yes", "yep": "yes", "yup": "yes", "ya": "yes", "aye": "yes", "yas": "yes", "nope": "no", "nah": "no",
    "nay": "no", "excercises": "exercises", "excercise": "exercise", "exersises": "exercises",
    "ppl": "people", "dont": "do not", "sumthing": "something", "wot": "what", "wat": "what", "wen": "when",
    "aw": "all", "ma": "my", "teh": "the", "twa": "two", "oot": "out", "haf": "half",
    "nae": "no", "cannae": "can not", "didnae": "did not", "hingin": "hanging", "cud": "could", "shud": "should", "shld": "should", "cld": "could", "wanted": "want",
}  # fmt: skip

RUN_TOGETHER = frozenset(
    "chest breathe cant numb hand fingers pain did all done sets set none no zero one two three four five six seven eight nine ten"
    " everything skipped today out of".split()
)
SURE_SOUND_ALIKES = frozenset("ate won fore tree fife".split())
JOINS = frozenset("and but though so because as just i it".split())


SPELLED = frozenset(
    """
    three four five seven eight nine eleven twelve twenty zero
    pain painful score level hurts hurting soreness aching elbow discomfort painless
    sets holds exercise exercises lowering rounds seconds minutes tablets kilos reps
    done finished completed complete managed everything every whole
    none nothing skipped missed forgot half most some almost nearly couple several
    yesterday today tonight morning afternoon evening usual usually average worst better worse before
    sorry meant actually mistake wrong wait change answer
    message messages messaging texting reminders unsubscribe stop pause holiday vacation programme cancel commands
    numb numbness tingling tingly tingles needles sensation feeling weak weakness weaker strength grip straighten
    locked locking swollen swelling swelled popped snapped fever temperature infected infection shivering
    fracture fractured broken dislocated injured injury tripped slipped fallen accident
    lump sweats weight nights sleep constant
    chest breath breathe breathing breathless pressure tight tightness heart attack stroke slurred slurring droop
    drooping drooped speech vision paralysed collapsed collapse fainted faint fainting unconscious seizure ambulance
    overdose overdosed whole packet swallowed
    strokes fitting choking hopeless suicide suicidal myself hopeless hopelessness cope coping living alive worthless depressed depression despair desperate
    overwhelmed anymore
    injection injections steroid cortisone surgery ibuprofen paracetamol painkiller painkillers physio doctor
    want living head vomiting bleeding should could without anything fingers finger hand thumb
    """.split()
)


FILLERS = frozenset(
    """
    a an the this that these those it its i me my mine myself we us our he she him her his they them their you your
    and or but so then also too as than because though although if while with without of to in on at by for from into
    over up down out off about around after before until till since during through
    am is are was were be been being do does did done have has had having will would can could shall should may might
    there here now just still yet again today tonight tonite this evening really very quite pretty rather bit little some
    well och anyway like ok okay oh ah um er hm hmm ha haha lol tbh btw fyi yes no not
    hello hi hey dear morning afternoon good thanks thank cheers ta please sorry love mate doc bye night x xx xxx
    get got go went going come came one s t d m ll re ve p say said guess think suppose
    """.split()
)


TOPICS = frozenset(
    """
    numbness tingle tingles tingling tingly weakness swelling swollen puffy bruising stiffness locking clicking
    wrist wrists fingers forearm thumb nerve tendon joint
    doctor gp physio physiotherapist therapist hospital surgeon scan xray mri ultrasound operation surgery injection
    injections cortisone steroid medicine medication tablet tablets pill pills painkiller painkillers ibuprofen
    paracetamol aspirin naproxen antibiotics codeine brace strap splint sling bandage
    kg kilo kilos heavier lighter harder instead
    """.split()
)


FOREIGN_WORDS = frozenset(
    """
    accidente accidenti acidente actuelle aine ambulancia ambulanza bain ballen bester bevel blessure bleven
    bloeding borst botter breken carcel changer changez chante chope commande commander commandes commando comparte
    compiere compleet complejo complet completa completar completo complexe complexo complice comporte comptant
    constante contant contanti copa copie copine copo cose costante cote coule coupee cour decident depresion
    depressa depressief despertar detresse dever disperata disperato doce doctora dode dona donnee dono dons dorst
    dottor doue doutor drong droog droom echange eleve elever eleves exercito exercitos facture factures falen
    falle fand faulen feter fetter feuer fingen fingere fingir finissez fixe fome forse fous fout fractura fullen
    gant geant geven grap grijp gris hait halb hals hande hange hart hemd hilf hond hopeloos horst iets infeccion
    infecte infectie ingles insecten insectes inyeccion ione kant komplett komplette kost lait leve levee levei
    levem leven leves levez locken meent meint menant mensagem mensagens ment messager messaggi mets minuten
    minutos mision missen moest mogt mont mort mots nain nait nene nero netter ninez nino noie nome noten noye numa
    overdosis packe packen packst packt packte paese paie paio pais paix pakket pand pase passe pausa pauze
    pression programa programas programma programmes programmi puin rand reis repas repos rever rive roken sain
    sait scopre seconda seconde secondes secondi secondo sehen seien seks seme sens sensacion sensazione sers sete
    seus sliep snappen sobe soie sollen somme soms stap stets stof stok stom stopt suicida suicider suicidio tand
    tant temperatura temperatuur tiree tome tope torse tweeling vallen vero vinger vingers visioen visione wagt
    wann warst weicht weit welk werk wint wirst wollen wrak zand zitting
    """.split()
)


REAL_WORDS = frozenset(
    """
    accidental accidents acting affection alice alike allen ambulances annually asteroid
    atop attach avery aviation await bait banished batter bead beak beaker beater bets betters bitter
    bleaching bleating bleep blending blessing blocked blocking blurring bounds brainless breach
    breaching breadth breathed breather breathes breaths breeding brightness broker brooding butter cain
    cancels cape casually cessation changer changes charge cheat chests clipped clive clocked clocking
    clump cocked cocking code coding coke colds cole collapses collared command commanded commander
    commanders commando commandos comments compelled compete competed completes complexes complied
    computed cone conscious constance contestant cooing coped copped copping cops copy copying core coupe
    coupled couples cove covering cowering creating crest cropping dangling daunting dearly decreased
    defected defection depresses depressive desecrate desperately dine dislocate disparate dissed dive
    diving docked docking doctors dole dome dong dope doping dost dote dove doze drip dripped dripping
    drone drool drooled drooling droppings drowning dumb dump dune dwelling effected eighth eights
    ejection evacuation exercised exorcise exorcism exorcist expertise expressed expression factored fain
    famished featured feeding feelings felling fight fights file finder finders finer finishes fittings
    fiver fives flaunting fleeting flinging flint flipped flirting flitting flocked flocking flowering
    folds forgo foul fours fractures fronting fueling furnished gain gait giggling ginger grid
    grin gripe gripped grips grit grooming grounds grouping hairless hale hall hallowed halo halt handout
    handy hank hans haunting heads heady hears hearth hearty heed height herd hero highness hind hive
    hocked hole holes homeless hone hoods hopelessly hopped host hounds hovering hump hunting hunts
    hurling hurtling huts imbalance impressed impression inception incident incomplete indebted indicted
    inducted induction infecting infections inferred infested inflated inflation inflicted infraction
    ingested injected injecting injector injectors injunction injure inserted insertion inspected
    inspection inspections insured intention intentions invented invention inventions inverted invested
    jacket jangling jets jiggling jingles jingling jive kills kindling kingly kissed knights lacked
    lacking lain lamp land leak levee levels lever licked licking lightness lights liking limiting linger
    lingers lining location locker locket loitering lone looked lopped loveless loving lucked lumpy main
    manager manages massaged massages massaging massed mast mead meanness means mesdames messed mine
    mingling misled misses mist mistaken mistakes misused moat mocked mocking moist molds mooning moot
    mope moping mopped morse moss mounds mourning mutually nearby neatly needless nets nice nina nines
    node nothings noting objection objections olive oppressed oppression outdid outdone overcome overdone
    overjoyed overwhelm overwhelms packed paid pail painted painters paintings pair pant paralysis
    paralyze passages pauses pawn pearly peeling pets picket pine pissed pitting plain pleading pleasure
    plump pocket pointing pooped pope pour powering preaching pressured pressures princess printing
    programmed programmer programmers programs propped propping pump punished quivering racket rant raps
    reaching reassure reds reeling regression rejection remainder reminded repressed repression revel
    revs rights ringer rips rocked rocking rome roping rump saint sainted sand scare scarring scooping
    scope scoping scores scorn scurrying seas seats sects sedation seen seep sees selling semen
    sensational sensations seth sevens sever severing sews sheep shelled shelling shilling shimmering
    shipped shore shoveling showering sights silos sine singers singles sipped skipper slapped sledding
    sleek sleepy sleet slipper slop slugging slumming slump slurping smelled smelling smelting snapper
    snipped sniveling snooping snore sobering socked softness sole sorceress sounds sour sparring
    speeding spelled spilling spore spurred squaring stainless stalling starring stealing steep sterling
    steven stinging stirring stoke stomp stoop stooping store stow straightened straighter strengthen
    strengths strike strikes stripped strobe stroked subconscious subscribe suicides swallows swapped
    swearing swears sweep sweeping swirling swooping swore tables taint tainted tangling taunting
    taxation teen temperate temperatures testing thee threes threw thump tickling tightest tinkling
    tipped tome tone toothless topped tour towering treasure treating tripled troop tweak twinkling
    unconsciously unfinished vacations vain valuation variation vets vine visions visiting vive vocation
    wail waist waits walt wand wank wart weaken weaknesses wean wearer weariness weaver weigh weighs
    weighty welling wellness wets wetter whale whit whooping whore whose wiggling wong worsen wounds
    wreak wreath wring writ wrongs wrung yearly zeros
    """.split()
)

# for somebody who is asked about both elbows, or whatever there are two of
SIDES = {"right": "right", "r": "right", "rt": "right", "left": "left", "l": "left", "lt": "left"}
SIDE_NOUNS = frozenset({"elbow", "arm", "side", "one", "hand"})
BOTH_SIDES = frozenset({"both"})
BETWEEN_SIDES = frozenset({"and", "&", "/", ",", "then", "-", "+", ".", ";"})
NO_SIDE = frozenset(
    tuple(pair.split())
    for pair in (
        "all right;right now;right away;right after;right before;right then;just right;felt right;that's right;"
        "sets left;set left;nothing left;none left;one left;left to;left out;left it;left them;i left"
    ).split(";")
)
