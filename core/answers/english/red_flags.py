"""Signs that want a clinician soon, as people type them."""

from core.answers.lexicon import phrases

LITERAL = phrases(
    """
    black and|& blue ; i|we ~ had|been|was|were|am ~ in? a|an|in ~ accident|crash|smash ; in a|an ~ accident|crash|smash|pile_up
    """
)
NERVE = phrases(
    """
    like ~ wearing ~ glove|gloves ; lost touch in ~ <limb> ; buzzing|buzz|vibrating ~~ <limb> ; <cannot> tell ~ hot|sharp ~ cold|blunt
    <limb> ~~ like|as ~~ cotton|wool|wood|wooden|rubber|rubbery|sausages|sausage|jelly|plastic|leather|glove|gloves|mine|stone
    <limb> ~~ not ~ mine|my_own|belong|belongs ; <limb> ~~ belongs|belong ~ someone|somebody|another
    <limb> ~~ someone else's|somebody else's ; <cannot> feel ~~ when|if ~ touch|press|pinch|hold|grip ; <cannot> feel ~ hot|cold|heat|pin|pins
    zap|zaps|zapping|zapped|jolt|jolts ~~ <limb>|down|neck ; shock|shocks ~~ down|into|through ~~ <limb>
    <limb> ~ not|never|no feel|feels|feeling ; <limb> ~ feel|feels ~ nothing ; lack|loss of feeling|sensation|touch
    <limb> ~ is|are|keeps|always? ~ sleep|sleeping|sleepy|asleep ; <limb> ~ burns|burning ~~ fingers|hand|down
    burning ~~ <limb> ~ into|to|and ~ fingers|hand|thumb ; <limb> ~ gone|went|goes|feels dead ; formication|ants ~ crawling ~~ <limb>
    ants|insects ~~ <limb> ; cramping|cramp ~~ fingers|hand ~ claw ; claw hand
    numb|numbness|numbing|numbed|tingling|tingle|tingles|tingly|tingled ; pins and|n|& needles|needle
    pins needles
    no|lost|losing|loss|less|reduced|little ~ feeling|sensation ~ in|of|there|at ~ <limb>|it?
    lost the feeling
    lost all? feeling|sensation
    <cannot> feel my|the|all|these|any|some ~ <limb> ; <cannot> feel ~ <limb>|anything
    loss of sensation|feeling
    <limb> ~ feels|gone|went|goes|is|feel|are|felt|all|going ~~ dead|asleep|fuzzy|sleep ; <limb> ~ asleep
    dead arm|hand|fingers|feeling ; <limb> keeps|keep ~ going dead|asleep
    <limb> ~ fell|fall|falls|falling asleep
    electric ~ shock|shocks|shooting|zaps|pain ; like electricity ; prickling|prickly|fizzing
    shooting|burning|electric|stabbing ~~ down|into|to ~ <limb> ; shooting pain|pains ~~ <limb>|neck
    <hurt>|shoots|shooting|travels|runs ~~ from ~ neck ; neck <hurt> ~~ arm|hand|fingers
    hand|arm|fingers|thumb ~ went|gone|goes|going|gets|fall|falls|falling to? sleep|asleep
    burning ~ fingers|hand ; hand|fingers feel|feels ~ fuzzy|weird|funny|strange|odd|far
    paraesthesia|paresthesia ; went|gone|goes|going|feels|is|are|feel|felt num ; num <limb>
    """
)
WEAKNESS = phrases(
    """
    <cannot> ~ squeeze|grasp|pinch|wring ; slip|slips|slipping|slipped|fall|falls|falling ~ out|through|from ~ of? my? ~ hand|hands|fingers|grip
    grip ~ just? goes|went|fails|failed|halved|worse|reduced|rubbish|poor|shot ; grip? strength ~ halved|dropped|reduced|shot
    <limb> ~ useless|powerless|lifeless|hopeless|feeble ; <cannot> ~ do|fasten|undo ~ buttons|button|zip|laces|bra|shoelaces|belt
    wrist|hand|fingers|thumb ~ just? hangs|hang|dangles|dangling|flops|sags ; not ~ have|has|got|get ~ force|strength|power ~ in|to|for|!
    <cannot> ~ write ~ name|properly|any_more|! ; <cannot> ~ use ~ chopsticks|scissors|knife|cutlery|tools|screwdriver
    wrist|hand|fingers|thumb ~ not ~ lift|rise|raise|open|close|grip|extend ; strength|power ~ all? gone|left|going|draining|disappeared
    muscle ~ dent|hollow|vanished|gone|missing ; dent|hollow ~ muscle|arm|forearm ; <cannot> ~ hold|grip $
    <cannot> ~ lift ~~ or straighten|bend ~ <limb> ; <object> ~ falling|slipping ~ out|from|through
    weak|weakness|weaker|weakening|weakened
    lost|losing|loss|no|lose|less|lack|loosing all|of|any? my|the? strength|grip|power|use|control|movement
    grip|strength ~ gone|going|week|failing|fails|failed|useless|getting|worse|less
    arm|hand|wrist|fingers ~ is|feels|gone|felt|getting|very|so|really|are week
    <cannot> ~ grip|hold|lift|open|turn|pick|carry|use ~~ <object>|<limb>
    <cannot> ~ make|close|grip|do ~ fist
    <cannot> ~ straighten|bend|extend|move|flex|rotate|grip ~ my|the|it|arm|elbow|wrist|fingers|thumb|
        hand|this
    <cannot> ~ straighten|bend|extend|move|flex ~ fully|properly|out|all|right|at
    <cannot> straighten|bend|extend|move|grip $
    <cannot> ~ lift|raise|use|open|close ~ <limb>
    dropping|drops|drop|dropped ~ <object> ; keep|keeps|kept dropping ; wrist|finger drop
    wrist|hand|fingers|finger|thumb ~ droop|drooping|drooped|droops|flop|floppy|limp|drops|dropped|hanging
    floppy|limp|paralysed|paralyzed|useless ~ <limb>
    <limb> ~ will not ~ work|move|open|close|lift|grip|do|respond|straighten|bend|listen
    arm|hand|grip ~ gives|giving|gave ~ way|out|up
    muscle|muscles|arm|forearm ~~ wasting|wasted|shrinking|thinner|shrunk|smaller|withered
    <limb> ~ gives|gave|giving way|out ; hand ~ lets|letting|let go ; no power
    grip ~ not ~ what|strong|there|good ; unstable
    <cannot> ~ hold|carry|lift|pick|open|turn ~ <object>
    grip ~ lets|letting|let ~ go ; <object> ~ fall|falls|fell|slips ~ from|out_of ~ hand|hands|it|fingers
    <limb> have|has|had|got|with no ~ force ; no force in my? <limb>
    wrist|hand ~~ hanging
    """
)
JOINT = phrases(
    """
    tendon|elbow|something|muscle|bicep|biceps|arm ~ went ~ bang|pop|twang|snap|crack|ping|crunch ; elbow|joint hot|red|warm|puffy ! ; elbow|arm|joint ~ block|lock|blocks|locks !|and|up
    lost|losing ~ degrees|motion|range ; dropped wrist|hand ; elbow ~ closed|shut and|, ~ not ; <joint> ~ <end> ~ not ~ open|straighten|bend|move
    <joint> ~ catches|catching|sticks|sticking|frozen|seized ; <cannot> ~ extend|straighten|flex !|fully|out|and ; <cannot> ~ get ~ <joint> ~ straight|bent|flat
    elbow|lump|swelling|it|arm|bump|joint ~~ size of ; gone|turned|went septic ; septic ; elbow|joint ~ big|huge|fat|massive and ~ red|hot|sore
    <joint> ~~ blocked|unlock|stuck|jammed ~ bent|straight|half|halfway|open|at|in|and|! ; gets|got|getting|gone stuck ~ bent|straight|half|halfway
    <joint> ~ not|will_not ~ go|come|get|move|budge|unlock|open ~ straight|flat|bent|out|all|full|fully|!
    stuck at|in ~ right_angle|angle|position|degrees|one_position ; felt|feel|heard ~ something ~ give|go|tear|rip|pop|snap|shift|move|slip|tore|popped
    something ~ gave|went ~ in ~ <joint>|arm ; <limb> ~~ twice|double|three_times ~ size|normal ; twice|double the|its|it_is|normal size
    fluid|water|liquid|ball|egg|bag|sack on|in|over|under|behind ~ elbow|arm|joint|wrist
    have|got|had|with the|bad? shakes|rigors|sweats ; a|high|got|have ~ temp !|and|today|of|with ; burning up ; boiling ~ joint|elbow|skin
    wound|cut|graze|scab|skin ~~ weeping|weeps|oozes|smells|smelly|yellow|green|infected|festering ; smells|weeping ~ elbow|wound
    several|many|all|lots|other ~ my? joints ~ <swell>|<hurt>|stiff|hot ; <swell> ~ joints
    <felt> ~ something ~ go
    <joint> ~ lock|locked|locks|locking|jam|jammed|jams|jamming|seized|seizing|seizes|stuck|locks_up
    locked|locks|jammed|seized|stuck ~ up|solid|elbow|bent|straight|joint ; locking|locked
    got|gets|getting stuck
    will|does|would not|never fully? straighten|bend|extend ; stuck bent|straight|half|halfway
    <felt> ~~ <snap>
    something|elbow|tendon|muscle|arm|bicep|biceps|joint ~ <snap>|ripped|torn|ruptured|gave|cracked
    <snap>|cracked ~~ <swell>|bruise|bruised|bruising|blew ; it popped|snapped|tore|ripped|cracked
    ruptured|rupture ; torn|tore my|a|the|it|something|tendon|muscle ; <swell> ; blown up ; egg sized
    size of a|an golf|tennis? ball|egg|balloon|orange ; like a|an egg|golf_ball|balloon|tennis_ball
    hot and|,|& ~ red|<swell>|tender|sore ; red and|,|& ~ hot|warm|<swell>|tender|angry|inflamed|sore
    <joint> ~ is|are|feels|gone|very|looks|all|really|bright|went|got|red|burning|so|boiling ~ hot|red|
        inflamed|infected|fire
    hot|red|<swell>|inflamed|infected ~ joint|elbow ; hot|red <swell> ; red hot ; hot to ~ touch
    redness|inflamed
    fever|feverish|fevers ; have|got|had|running|high|with|a|raised|slight temperature
    temperature|temp of|is|was #
    chills|shivering|shivers|shivery|shiver ; pus|oozing|infected|infection|sepsis
    red|hot streak|streaks|line|lines
    """
)
INJURY = phrases(
    """
    threw|bucked me !|off ; horse|pony ~ threw me
    <struck> it ~~ hard|badly|on|against ; shut|slammed|trapped|caught|jammed my|the ~ <limb> ; felt it ~ crunch|crack|snap|give|go|pop|tear|rip|tore|went
    <limb> is|are|looks ~ broken|fractured ; it pop|pops|popped|snapped ~~ blue|bruised|bruise|<swell>
    <fell> ~ through ~ loft|floor|ceiling|roof|ice|gap ; rear ended|ending|shunted ; in|during a ~ crash|smash|collision
    dropped|landed|fell|fallen|falling|came_down|toppled|collapsed ~ on|onto|across ~ me|my ~ <limb>? ; kicked|bit|bitten|butted|trampled|stamped me|my
    <limb> ~ bruised|bruise ; bruised ~ from|all|top ; <struck> ~ elbow ; whacked|jarred|knocked ~ elbow ~ hard|badly|really
    <fell> ~~ down|over|off|onto|on|into|against|from|out_of|backwards|headlong ~ <ground>|<limb>|stairs|step|steps|ladder|bike|horse|kerb|
        roof|chair|bed|scaffold|wall|table|loft|tree|platform|stool|back|side|shoulder|hip|bad_side
    <fell> over|down|flat|heavily|hard|awkwardly|backwards !|on|and|today|at|in|while|when|off|onto
    hit|hitting|smacked|met the <ground> ; landed|landing|came_down|crashed|came_crashing ~ on|onto|into|down ~ <limb>|it|<ground>|side|shoulder|hard
    came|went|coming|going down on|onto|hard|heavily|like|with ~ <limb>|it|side|back|bump|bang|wallop|<ground>|!
    collapsed|collapse|collapsing|gave_way|gave|broke|snapped|tipped|went|buckled ~ under|beneath|underneath|below me|my
    from under|underneath me ; pulled|pushed|knocked|shoved|dragged|barged|thrown|threw|bowled|tripped me|us ~ over|down|off|to|into|onto|sideways
    got|was|been|getting pulled|pushed|knocked|shoved|dragged|barged|thrown|bowled|bundled|tackled|rear_ended ~ over|down|off|to|into|onto|by|at|in|on
    got|been|was hit|kicked|punched|struck|stamped|trodden|whacked|clobbered|elbowed|assaulted|attacked|mugged|bitten
    <struck>|slammed|shut|closed|dropped|fell|landed|trod|stood|jammed|dropping|slamming ~~ on|in|onto|with|against|into ~ <limb>
    <struck> ~ my|the ~ <limb> ; knocked|came|come|fell|thrown|got ~ off ~ bike|horse|motorbike|scooter|ladder|pony|moped|bicycle
    <vehicle> ~ ran|run|drove|reversed|smashed|crashed|knocked|clipped|backed|ploughed|rammed|bumped|hit ~ into|over|me|my|us
    <struck>|knocked|run|clipped by ~ <vehicle>|ball|bat|branch|door ; ran|run|knocked me over|down
    could|might|may|must|maybe|probably|perhaps|possibly ~ be|have? ~ broken|fractured|cracked ; <struck> ~ my? ~ head
    bad|nasty|deep burn|burns|cut|gash ; scalded|burnt|burned ~ <limb>|<myself> ; whiplash
    fell on|onto|off|over|down|from|in|out|at|today|yesterday|this|and|hard|badly|backwards|heavily|again|
        while|when|$
    fell|fallen|fall|landed ~~ <limb>|stairs|ice|bike|ladder|horse|scaffold|scaffolding
    fallen on|off|over|down|from|onto
    had|took|have a|another ~ fall|tumble|accident|crash|knock ; tripped ; slipped ~ on|over|off|down|and|in
    crashed ~ car|bike|into|my|the ; car|bike|cycling|road|bad|work accident|crash
    accident ~ at|on|today|work|with|car
    in an accident ; <struck> ~ <limb> ; <struck> it ~ on|against|off|hard|door|wall|into
    whacked|bashed|banged it
    broke|broken|fractured|cracked ~ <limb>|bone|collarbone|rib ; broken something
    think|sure ~ broken|fractured ; it is broken|fractured ; broke something in|my
    fractured|fracture|dislocated|dislocation|sprained|sprain|deformed|deformity|misshapen
    injured|injury|injuries
    twisted|wrenched|yanked|jarred|overstretched|jerked ~ <limb>|it ; hurt <myself>
    came|come|knocked off ~ bike|horse|motorbike|scooter|ladder ; knocked|run over by ; hit by a|car
    car|van|door|weight|box|something|brick|shelf hit|fell|landed|dropped on? ~ me|<limb>
    dropped ~~ on my ~ <limb>
    out of shape|joint|place|socket ; looks|bent ~ wrong|funny|crooked|wonky|odd ~ shape|angle|way? ; fell $
    i fell ; landed on ~ <limb>|it
    pulled something
    bruise|bruised|bruising ~ all|whole|badly|down|black|huge|massive|everywhere
    massive|huge|big|black|bad|large ~ bruise|bruising
    cut my ~ <limb>|open ; burnt|burned my ~ <limb>
    hit on|in the|my ~ <limb> ; got|been hit ~ <limb> ; <struck> my ~ <limb>
    hurt my ~ <limb> ~ badly|again|falling|fall
    went over ~ handlebars|on ; come|came a cropper ; took a tumble
    popped|came|slipped|put out of ~ joint|socket|place
    """
)
SLOW_DANGER = phrases(
    """
    wakes|waking|woken|wake ~~ nightly
    <cannot> ~ get ~ sleep|rest ~~ pain|ache|throbbing ; no sleep ~~ pain|ache|throbbing
    growing ~ on|in|near|under ~ <limb> ; not slept ~~ because|with|from|due|for ~ pain|it|ache|agony
    <hurt>|throbs|throbbing all night ; pain ~~ all the time ; pain ~~ even|constant at|in|when ~ rest|resting|bed|night|lying ; even at rest
    dropped|lost|gone_down ~ dress|clothes|trouser|belt ~ size|sizes|notch|notches
    lump|lumps|nodule|cyst|tumour|tumor|cancer|lymphoma ; growth on|in|near|by|over
    bump|mass|knot|bulge ~ on|in|near|above|below|under|by ~ <limb>
    hard|new|strange|weird|growing ~ bump|mass|knot
    wakes|waking|woke|woken|wake|awake|up ~~ every|each|most ~ night|nights
    every|each ~ night ~~ pain|wakes|wake|awake|hurts|ache|aching|throbbing|agony ; every single night
    night after night ; night|nights|bed ~~ sweat|sweating|sweaty|sweated|soaked|drenched ; sweat|soaked|drenched|sweaty ~~ night|nights|bed|sheets|pyjamas
    wet ~ from|with sweat ; <hurt>|throbbing ~~ all night ; woken|wakened|woke ~ by|with ~ pain|it|elbow|ache ~~ night|nights
    clothes|trousers|jeans|belt ~ falling|hanging|loose ~ off|on ~ me
    <hurt>|throbbing|throbs ~~ every|each|nightly ~ night ; night pain ; <hurt>|throbbing all night
    <cannot> sleep ~~ pain|for_it|with_it|of_it|ache|aching|hurting|throbbing|agony|elbow|arm ; pain ~ keeps|keeping|kept me awake|up
    keeps|keeping|kept me awake|up ~ all|every
    awake|up all night ~ pain|with|in ; unrelenting|relentless
    pain ~ never stops|goes|eases|lets|ease|stop|go
    pain ~~ not let|ease up|off|at|day ; pain ~~ day or|and night ; day and night
    pain ~ constant|nonstop|round|24 ; constant ~ pain ~~ night|rest|day
    lost|losing|lose|dropped|shed ~~ weight|kilos|stone|lbs|pounds|kg
    weight ~ loss|falling|dropping|dropped|off|melting
    unexplained ~ weight ; night sweats|sweat ; sweats ; drenched ~ sweat|night
    sweating ~ at|every|in|through ~ night|bed|sheets
    wake|woke|waking ~ soaked|drenched|sweating|sweaty ; sheets|bed ~ soaked|wet|drenched
    cipro|ciprofloxacin|levofloxacin|ofloxacin|moxifloxacin|fluoroquinolone
    # times a|every night ; all night every|long ; wake|wakes|woke|waken ~~ pain ~~ every|each
    <cannot> sleep ~~ pain|night|nights ~ any|every|most|all
    weight ~ just? ~ falling|dropping|going ~ off|down ; no appetite and ~ weight ; off my food and
    """
)
