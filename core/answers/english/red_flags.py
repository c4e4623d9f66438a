"""Signs that want a clinician today or within days, as people type them (evidence rows H1 to H6)."""

from core.answers.lexicon import phrases

ACCIDENT = phrases(
    """
    black and|& blue ; i|we ~ had|been|was|were|am ~ in? a|an|in ~ accident|crash|smash
    in a|an ~ accident|crash|smash|pile_up
    """
)
DEFORMED = phrases(
    """
    <limb>|joint ~ looks|looking wrong|deformed ; elbow|joint ~ popped|come|came|slipped out !
    dislocated|dislocation ; deformed|deformity|misshapen
    <limb>|joint|it|bone|popped|came|come|slipped|put|knocked ~ out of ~ joint|socket|place
    <limb>|joint|it ~~ looks|bent|pointing|sticking|sits|twisted|hangs ~ wrong|odd|funny|strange|weird ~ way|angle|
        shape|direction
    <limb>|joint ~ is|looks|gone|now ~ out of shape|line ; <limb>|joint ~ is|looks|gone ~ crooked|wonky
    at a|an ~ wrong|odd|funny|strange|weird|horrible|nasty angle
    """
)
BROKEN = phrases(
    """
    felt it ~ crunch|crack|snap|give|go|pop|tear|rip|tore|went ; <limb> is|are|looks ~ broken|fractured
    it pop|pops|popped|snapped ~~ blue|bruised|bruise|<swell>
    could|might|may|must|maybe|probably|perhaps|possibly ~ be|have? ~ broken|fractured|cracked
    broke|broken|fractured|cracked ~ <limb>|bone|collarbone|rib ; broken something ; think|sure ~ broken|fractured
    it is broken|fractured ; broke something in|my ; fractured|fracture
    """
)
RUPTURED = phrases(
    """
    tendon|elbow|something|muscle|bicep|biceps|arm ~ went ~ bang|pop|twang|snap|crack|ping|crunch
    felt|feel|heard ~ something ~ give|go|tear|rip|pop|snap|shift|move|slip|tore|popped
    something ~ gave|went ~ in ~ <joint>|arm ; <felt> ~ something ~ go ; <felt> ~~ <snap>
    something|elbow|tendon|muscle|arm|bicep|biceps|joint ~ <snap>|ripped|torn|ruptured|gave|cracked
    <snap>|cracked ~~ <swell>|bruise|bruised|bruising|blew ; it popped|snapped|tore|ripped|cracked ; ruptured|rupture
    torn|tore my|a|the|it|something|tendon|muscle
    """
)
INJURED = phrases(
    """
    threw|bucked me !|off ; horse|pony ~ threw me ; <struck> it ~~ hard|badly|on|against
    shut|slammed|trapped|caught|jammed my|the ~ <limb> ; <fell> ~ through ~ loft|floor|ceiling|roof|ice|gap
    rear ended|ending|shunted ; in|during a ~ crash|smash|collision
    dropped|landed|fell|fallen|falling|came_down|toppled|collapsed ~ on|onto|across ~ me|my ~ <limb>?
    kicked|bit|bitten|butted|trampled|stamped me|my ; <limb> ~ bruised|bruise ; bruised ~ from|all|top
    <struck> ~ elbow ; whacked|jarred|knocked ~ elbow ~ hard|badly|really
    <fell> ~~ down|over|off|onto|on|into|against|from|out_of|backwards|headlong ~ <ground>|<limb>|stairs|step|steps|
        ladder|bike|horse|kerb|roof|chair|bed|scaffold|wall|table|loft|tree|platform|stool|back|side|shoulder|hip|
        bad_side
    <fell> over|down|flat|heavily|hard|awkwardly|backwards !|on|and|today|at|in|while|when|off|onto
    hit|hitting|smacked|met the <ground>
    landed|landing|came_down|crashed|came_crashing ~ on|onto|into|down ~ <limb>|it|<ground>|side|shoulder|hard
    came|went|coming|going down on|onto|hard|heavily|like|with ~ <limb>|it|side|back|bump|bang|wallop|<ground>|!
    from under|underneath me
    pulled|pushed|knocked|shoved|dragged|barged|thrown|threw|bowled|tripped me|us ~ over|down|off|to|into|onto|
        sideways
    got|was|been|getting pulled|pushed|knocked|shoved|dragged|barged|thrown|bowled|bundled|tackled|
        rear_ended ~ over|down|off|to|into|onto|by|at|in|on
    
    got|been|was hit|kicked|punched|struck|stamped|trodden|whacked|clobbered|elbowed|assaulted|attacked|mugged|bitten
    <struck>|slammed|shut|closed|dropped|fell|landed|trod|stood|jammed|dropping|slamming ~~ on|in|onto|with|against|
        into ~ <limb>
    <struck> ~ my|the ~ <limb>
    knocked|came|come|fell|thrown|got ~ off ~ bike|horse|motorbike|scooter|ladder|pony|moped|bicycle
    <vehicle> ~ ran|run|drove|reversed|smashed|crashed|knocked|clipped|backed|ploughed|rammed|bumped|hit ~ into|
        over|me|my|us
    <struck>|knocked|run|clipped by ~ <vehicle>|ball|bat|branch|door ; ran|run|knocked me over|down
    <struck> ~ my? ~ head ; bad|nasty|deep burn|burns|cut|gash ; scalded|burnt|burned ~ <limb>|<myself> ; whiplash
    fell on|onto|off|over|down|from|in|out|at|today|yesterday|this|and|hard|badly|backwards|heavily|again|while|when|$
    fell|fallen|fall|landed ~~ <limb>|stairs|ice|bike|ladder|horse|scaffold|scaffolding
    fallen on|off|over|down|from|onto ; had|took|have a|another ~ fall|tumble|accident|crash|knock ; tripped
    slipped ~ on|over|off|down|and|in ; crashed ~ car|bike|into|my|the ; car|bike|cycling|road|bad|work accident|crash
    accident ~ at|on|today|work|with|car ; in an accident ; <struck> ~ <limb>
    <struck> it ~ on|against|off|hard|door|wall|into ; whacked|bashed|banged it ; injured|injury|injuries
    twisted|wrenched|yanked|jarred|overstretched|jerked ~ <limb>|it ; hurt <myself>
    came|come|knocked off ~ bike|horse|motorbike|scooter|ladder ; knocked|run over by ; hit by a|car
    car|van|door|weight|box|something|brick|shelf hit|fell|landed|dropped on? ~ me|<limb> ; dropped ~~ on my ~ <limb>
    looks|bent ~ wrong|funny|crooked|wonky|odd ~ shape|angle|way? ; fell $ ; i fell ; landed on ~ <limb>|it
    pulled something ; bruise|bruised|bruising ~ all|whole|badly|down|black|huge|massive|everywhere
    massive|huge|big|black|bad|large ~ bruise|bruising ; cut my ~ <limb>|open ; burnt|burned my ~ <limb>
    hit on|in the|my ~ <limb> ; got|been hit ~ <limb> ; <struck> my ~ <limb>
    hurt my ~ <limb> ~ badly|again|falling|fall ; went over ~ handlebars|on ; come|came a cropper ; took a tumble
    collapsed|collapse|collapsing|gave_way|gave|broke|snapped|tipped|went|buckled ~ under|beneath|underneath|
        below me|my
    sprained|sprain
    """
)
FEVER = phrases(
    """
    fever|feverish|fevers ; have|got|had|running|high|with|a|raised|slight temperature ; temperature|temp of|is|was #
    chills|shivering|shivers|shivery|shiver ; a|high|got|have ~ temp !|and|today|of|with ; burning up
    have|got|had|with the|bad? shakes|rigors|sweats
    """
)
HOT = phrases(
    """
    hot and|,|& ~ red|<swell>|tender|sore ; red and|,|& ~ hot|warm|<swell>|tender|angry|inflamed|sore
    elbow|joint ~ big|huge|fat|massive and ~ red|hot|sore ; hot|red <swell> ; <swell> and|,|& ~ hot|red|warm
    <swell> ~ gone|went|turned|going ~ hot|red ; gone|went|turned|going|has ~ red|hot and|,|& ~ <swell>|hot|red|sore
    """
)
INFECTED = phrases(
    """
    gone|turned|went septic ; septic
    wound|cut|graze|scab|skin ~~ weeping|weeps|oozes|smells|smelly|yellow|green|infected|festering
    smells|weeping ~ elbow|wound ; pus|oozing|infected|infection|sepsis ; red|hot streak|streaks|line|lines
    """
)
WARM = phrases(
    """
    elbow|joint hot|red|warm|puffy ! ; boiling ~ joint|elbow|skin
    <joint> ~ is|are|feels|gone|very|looks|all|really|bright|went|got|red|burning|so|boiling ~ hot|red|inflamed|
        infected|fire
    hot|red|<swell>|inflamed|infected ~ joint|elbow ; red hot ; hot to ~ touch ; redness|inflamed
    it|skin gone|went|turned|going ~ red|hot
    """
)
JOINT = phrases(
    """
    elbow|arm|joint ~ block|lock|blocks|locks !|and|up ; elbow ~ closed|shut and|, ~ not
    <joint> ~ catches|catching|sticks|sticking|frozen|seized ; elbow|lump|swelling|it|arm|bump|joint ~~ size of
    <joint> ~~ blocked|unlock|stuck|jammed ~ bent|straight|half|halfway|open|at|in|and|!
    gets|got|getting|gone stuck ~ bent|straight|half|halfway
    stuck at|in ~ right_angle|angle|position|degrees|one_position ; <limb> ~~ twice|double|three_times ~ size|normal
    twice|double the|its|it_is|normal size
    fluid|water|liquid|ball|egg|bag|sack on|in|over|under|behind ~ elbow|arm|joint|wrist
    several|many|all|lots|other ~ my? joints ~ <swell>|<hurt>|stiff|hot ; <swell> ~ joints
    <joint> ~ lock|locked|locks|locking|jam|jammed|jams|jamming|seized|seizing|seizes|stuck|locks_up
    locked|locks|jammed|seized|stuck ~ up|solid|elbow|bent|straight|joint ; locking|locked ; got|gets|getting stuck
    stuck bent|straight|half|halfway ; <swell> ; blown up ; egg sized
    size of a|an golf|tennis? ball|egg|balloon|orange ; like a|an egg|golf_ball|balloon|tennis_ball ; unstable
    elbow ~ gives|gave|giving way|out
    """
)
STRAIGHTENING = phrases(
    """
    lost|losing ~ degrees|motion|range ; <joint> ~ <end> ~ not ~ open|straighten|bend|move
    <cannot> ~ extend|straighten|flex !|fully|out|and ; <cannot> ~ get ~ <joint> ~ straight|bent|flat
    <joint> ~ not|will_not ~ go|come|get|move|budge|unlock|open ~ straight|flat|bent|out|all|full|fully|!
    will|does|would not|never fully? straighten|bend|extend
    <unable> ~ straighten|bend|extend|flex|rotate ~ my|the|it|arm|elbow|hand|this
    <unable> ~ straighten|bend|extend|flex ~ fully|properly|out|all|right|at ; <unable> straighten|bend|extend $
    """
)
SLOW = phrases(
    """
    wakes|waking|woken|wake ~~ nightly ; <cannot> ~ get ~ sleep|rest ~~ pain|ache|throbbing
    no sleep ~~ pain|ache|throbbing ; growing ~ on|in|near|under ~ <limb>
    not slept ~~ because|with|from|due|for ~ pain|it|ache|agony ; <hurt>|throbs|throbbing all night
    pain ~~ all the time ; pain ~~ even|constant at|in|when ~ rest|resting|bed|night|lying ; even at rest
    dropped|lost|gone_down ~ dress|clothes|trouser|belt ~ size|sizes|notch|notches
    lump|lumps|nodule|cyst|tumour|tumor|cancer|lymphoma ; growth on|in|near|by|over
    bump|mass|knot|bulge ~ on|in|near|above|below|under|by ~ <limb> ; hard|new|strange|weird|growing ~ bump|mass|knot
    wakes|waking|woke|woken|wake|awake|up ~~ every|each|most ~ night|nights
    every|each ~ night ~~ pain|wakes|wake|awake|hurts|ache|aching|throbbing|agony ; every single night
    night after night ; night|nights|bed ~~ sweat|sweating|sweaty|sweated|soaked|drenched
    sweat|soaked|drenched|sweaty ~~ night|nights|bed|sheets|pyjamas ; wet ~ from|with sweat
    <hurt>|throbbing ~~ all night ; woken|wakened|woke ~ by|with ~ pain|it|elbow|ache ~~ night|nights
    clothes|trousers|jeans|belt ~ falling|hanging|loose ~ off|on ~ me
    <hurt>|throbbing|throbs ~~ every|each|nightly ~ night ; night pain ; <hurt>|throbbing all night
    <cannot> sleep ~~ pain|for_it|with_it|of_it|ache|aching|hurting|throbbing|agony|elbow|arm
    pain ~ keeps|keeping|kept me awake|up ; keeps|keeping|kept me awake|up ~ all|every
    awake|up all night ~ pain|with|in ; unrelenting|relentless ; pain ~ never stops|goes|eases|lets|ease|stop|go
    pain ~~ not let|ease up|off|at|day ; pain ~~ day or|and night ; day and night ; pain ~ constant|nonstop|round|24
    constant ~ pain ~~ night|rest|day ; lost|losing|lose|dropped|shed ~~ weight|kilos|stone|lbs|pounds|kg
    weight ~ loss|falling|dropping|dropped|off|melting ; unexplained ~ weight ; night sweats|sweat ; sweats
    drenched ~ sweat|night ; sweating ~ at|every|in|through ~ night|bed|sheets
    wake|woke|waking ~ soaked|drenched|sweating|sweaty ; sheets|bed ~ soaked|wet|drenched ; # times a|every night
    all night every|long ; wake|wakes|woke|waken ~~ pain ~~ every|each
    <cannot> sleep ~~ pain|night|nights ~ any|every|most|all ; weight ~ just? ~ falling|dropping|going ~ off|down
    no appetite and ~ weight ; off my food and
    """
)
