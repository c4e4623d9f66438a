"""English words that are one slip away from a word worth recognising, and are left as typed.

Chosen by running our own speller over the word list of the pyspellchecker package (MIT licence).
"""

REAL_WORDS = frozenset(
    """
    accidental accidents acting affection alice alike allen ambulances annually asteroid atop attach avery
    aviation await bait banished batter beak beaker bets bitter bleaching bleating bleep blocked blocking
    bounds brainless breach breaching breadth breathed breather breathes breaths brightness broker brooding
    butter cancels cape casually cessation changes charge cheat chests clipped clive clocked clocking clump
    cocked cocking code coding coke colds cole collapses collared compelled compete competed completes
    complexes cone conscious constance contestant cooing copped copping cops copy copying core coupe coupled
    couples cove covering cowering creating crest dangling daunting dearly decreased defected depresses
    depressive desecrate desperately dine dissed dive diving docked docking doctors dole dome dong dope
    doping dost dove doze drip dripped dripping drone drool drooling droppings drowning dumb dump dune
    dwelling effected eighth eights ejection evacuation exercised exorcise exorcism exorcist expertise
    expressed expression factored famished featured feeding feelings fight fights file finder finders finer
    finishes fiver fives flaunting flinging flint flipped flirting flocked flocking flowering folds forgo
    foul fours fractures fronting fueling furnished gain gait giggling ginger grid grin gripe gripped grips
    grit grooming grounds hairless hale hall hallowed halo halt handy hank hans haunting hears hearth hearty
    height hero highness hind hive hocked hole holes homeless hone hoods hopelessly hopped host hounds
    hovering hump hunting hunts hurling hurtling huts imbalance impressed impression incident incomplete
    indebted indicted induction infecting infections infested inflated inflation inflicted infraction
    ingested injected injecting injector injectors injunction injure inserted insertion inspected inspection
    inspections insured intention intentions invented invention inventions inverted invested jacket jets
    jiggling jingles jingling jive kills kindling kingly kissed knights lacked lacking lain lamp land leak
    levels lever licked licking lightness lights liking linger lingers lining location locker locket
    loitering lone looked loveless loving lucked lumpy main manager manages massaged massages massaging mast
    means mesdames messed mine mingling misled misses mist mistaken mistakes misused moat mocked mocking
    moist molds mooning moot mope moping mopped morse moss mounds mourning mutually nearby neatly needless
    nets nice nina nines node nothings noting objection objections olive oppressed oppression outdid outdone
    overcome overdone overjoyed overwhelm overwhelms packed paid pail painted painters paintings pair
    paralysis paralyze passages pauses pawn pearly peeling pets picket pine pissed plain pleasure plump
    pocket pointing pooped pope pour powering preaching pressured pressures princess printing programmed
    programmer programmers programs propped pump punished quivering racket raps reaching reassure reds
    reeling regression rejection remainder reminded repressed repression revel revs rights ringer rips
    rocked rocking rome roping rump saint sainted sand scare scarring scooping scope scoping scores scorn
    scurrying seas seats sedation seen seep sees selling semen sensational sensations seth sevens sever
    severing sheep shelled shelling shilling shimmering shipped shore shoveling showering sights singers
    singles skipper slapped sleek sleepy slipper slop slugging slumming slump slurping smelled smelling
    smelting sniveling snooping snore sobering socked softness sole sorceress sounds sour sparring spelled
    spilling spurred squaring stainless stalling starring stealing steep sterling steven stinging stirring
    stoke stomp stoop store stow straightened straighter strengthen strengths strike stripped strobe stroked
    subconscious subscribe suicides swallows swapped swearing swears sweep sweeping swirling swooping swore
    tables taint tainted taunting taxation teen temperate temperatures testing thee threes threw thump
    tickling tinkling tipped tone toothless topped tour towering treasure treating tripled troop tweak
    twinkling unconsciously unfinished vacations vain variation vets vine visions vive vocation wail waist
    waits walt wand wart weaken weaknesses wean wearer weaver weigh weighs welling wellness wets wetter
    whale whit whooping whore whose wiggling wong wounds wreak wreath wring writ wrongs wrung yearly zeros
    """.split()
)
