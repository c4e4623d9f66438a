"""English words that are one slip away from a word worth recognising, and are left as typed.

Chosen by running our own speller over the word list of the pyspellchecker package (MIT licence).
"""

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
