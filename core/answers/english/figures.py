"""Figures of speech and everyday turns that only sound like danger."""

from core.answers.english.moods import MOOD
from core.answers.lexicon import phrases

_DEATH_AND_HEART = phrases(
    """
    killing me|my|him|her|time|it ; kill for a|some ; kill two|time|some|him|her|them|you|the
    killed it|them
    die|dying for a|some|my|this|the ; dying to ~ see|know|get|go|try|start|stop|have|sleep|eat ; to die for
    die|died|dying ~ laughing|laughter|boredom|embarrassment|heat
    bored|frozen|worried|scared|tickled|starving|tired to death
    dead tired|beat|easy|on|good|keen|slow|simple|line|pan|weight|lift|lifts|lifting|heat|end|boring|straight|chuffed|busy|late
    dead|deadlift lifts|heading ; dead to ~ world ; drop dead ; over my dead ; dead battery|phone
    battery|phone ~ dead
    <limb> ~ dead tired|weary ; dead on my feet ; shoot me ; just shoot me 
    chest press|freezer|fly|flies|drawers|of_drawers|day|infection_clinic ; off my chest ; close to my chest
    heart ~ not|isn in it ; heart of gold|the|stone|hearts ; my heart sank|skipped|melted|bleeds|goes
    heart to heart
    heart broken|breaking|warming|felt ; broke|broken|breaks|breaking ~ heart|hearts
    heart attack ~ bill|price|film|scared
    gave|give ~ heart attack ; nearly|almost ~ heart attack ~ when|seeing|bill
    heart|pulse ~ racing ~ film|match|football|gym|run|date
    nearly|almost ~ stroke ~~ when|seeing|bill|price ; heart stopped|stops when|as|watching|seeing ; gasping|choking|dying for a|some|my ; blue in the face
    lost sight of ; hard to swallow that|the|this ; fainted|faint|fainting ~ at|looking ~~ price|prices|bill|cost ; overdosed|overdose|od'd on ~ easter|eggs|nuts|mince|pizza|pies|roast|pudding
    heart aches for ; heart attack on ~ plate ; stroke order|play|rate|count|width|ward|unit|clinic|patients ; cardiac|heart|burns|fracture ward|unit|clinic|team|nurse
    chest waxing|wax|hair|rub|infection|expander|hairs|tattoo ; read|reading|learned|learnt|talk|lecture|lesson|course|revising|podcast|revision ~ about|on|of ~ sepsis|strokes|stroke|suicide|cancer|seizures|overdose|overdoses|attacks|fractures
    mri|xray|scan|ultrasound ~ clear|fine|normal|ok|good|booked ; stroke of luck|genius|midnight|the_brush ; breast|back|butterfly|golf|swimming|rowing stroke
    different strokes
    stroke the|my|a|her|his|our dog|cat|pet|hair|chin ; # strokes|stroke
    golf|swimming|rowing|pool ~ stroke|strokes
    stroke|strokes ~ golf|swimming|rowing|pool|par
    pain in the neck|arse|ass|bum|butt|backside|rear|proverbial
    nearly|almost ~ heart attack ~~ bill|price|cost
    """
)
_BREATH_AND_FALLING = phrases(
    """
    next door ~~ ambulance|paramedics|999 ; ambulance ~ blocked|blocking|outside|parked|past|siren|sirens|over_the_road|held|delayed|traffic
    saw|passed|past|heard|seen|behind ~ a|an|the ~ crash|accident|ambulance|smash ; accident|crash|smash ~ motorway|road|bypass|junction|roundabout|m|way
    out_of|bored_out_of my|his|her skull ; nearly|almost fell|tripped|slipped|fainted ~ but ; tripped ~ over ~ words|tongue ; night|prices|snow|rain|darkness|silence|shares|sales|numbers ~ fell
    collapsed|collapse|collapsing|folded the|my|a ~ tent|chair|pram|buggy|umbrella|box|boxes|gazebo
    passed out ~~ couch|sofa|settee ; breath of fresh 
    out of breath|puff ~~ football|tennis|match|training|class|swim|swimming|squash|badminton|spin|zumba|workout|game|session|dance|stairs|run|running|gym|hill|laughing|walk|dog|bus|cycling|climbing|rushing|jog|jogging|dancing|kids
    breathing exercises|exercise|space|technique
    breathing ~ hard|heavy|fast|heavily ~ after|from ~ run|running|stairs|gym|hill|bus|walk|walking|dancing|rushing|cycling|climb|climbing
    heart|pulse ~~ racing|pounding|thumping|hammering ~ after|from|with ~ football|tennis|match|training|class|swim|squash|badminton|spin|zumba|workout|game|session|run|running|stairs|gym|hill|bus|dancing|rushing|excitement|coffee|jog
    choking|choked on|with ~ dust|smoke|laughter|emotion|fumes|laughing|bonfire
    choking up|hazard ; choked up ; laughing so hard ; puffed out after|from|running ; puffed ~ stairs|run|hill ; breathless with excitement
    breathless from|with|after laughing|excitement|the_stairs|stairs|running|run ; breathtaking
    collapsed|collapse|collapsing|crashed|crash|crashing|flopped|passed|pass|slumped ~ on|onto|into|in ~ sofa|bed|couch|settee|chair|heap
    passed|pass|passing out ~ sofa|bed|couch|asleep|early|drunk|leaflets|flyers|sweets|cake|forms
    crash out
    black out blinds|curtains
    tent|shed|fence|gazebo|shelf|roof|deal|company|business|pound|market ~ collapsed|collapse
    faint praise|heart|hearted|smell|memory|line|idea|signal|ache|hope|noise|niggle|lines
    not for the faint ; faint of heart
    fell behind|for|short|flat|silent|pregnant|out_with|off_the_wagon|in_love
    fell off ~ radar|wagon
    fall behind|for|in_love|out_with ; falling behind|for|short
    i|we|just|then|and|nearly|almost fell asleep
    fell|falling|fall asleep on|in|at|by|early|before|watching|reading|after|as|now|here|during|while|standing
    fall ~ of|the leaves|term|semester|season
    slipped my|his|her mind ; slipped up ; slip up ; by accident 
    tripped ~ fuse|switch|electrics
    phone|fridge|electrics|power|fuse ~ tripped ; had|having a fit of ; fit of giggles|laughing
    neighbour|<relative> ~ collapsed|fell|fainted|fitted|fallen|ill|poorly ~~ ~~ ambulance|999|paramedics
    ambulance|paramedics ~ for|took|to my? <relative>
    ambulance ~ driver|service|shift|crew|worker|station|went_past|siren
    work|working|drive|driving|shift|job ~ ambulance ; i am a paramedic
    paramedic ~ shift|course|training|job
    emergency stop|exit|lighting|biscuit|chocolate|fund ; 999 calls|operator|call_handler
    deckchair|chair|table|bench|stool|souffle|marquee ~ collapsed|collapse
    out of breath|puff ~ chasing
    """
)
_NERVES_AND_STRENGTH = phrases(
    """
    nose|ears|toes|cheeks|chin|bum ~ numb|tingly|tingling ; no feeling of ; weak password|passwords|wifi ; bend the rules|truth
    <cannot> go_on ~ bike ; scalp ~ tingly|tingling ; tingling scalp ; pins and needles , ~~ sewing|knitting|kit ; grip on ~ housework|budget|things|reality|life|money
    dropped everything|the_ball|a_clanger ; locked in|out|horns ; locked the keys|van|shed|gate|garage|office|cupboard ; swell day|time ; slipped into|away|through|out_of_bed ; tripped the light ; crashed the|a party|wedding
    growth in|of|on sales|profits|trade|tomatoes ; tumour|cancer ~ research|charity|run ; weight off my ; lost the weight|weights ; dropped ~~ off ~ at|with ; swell guy|guys ; red hot form ; shivering|shivered ~ at|on|in ~ bus|stop|station|platform|queue|garden|tent|sea
    accident report|book|prone|form|claim ; lumps and all ; lost weight , ~ diet|slimming|dieting ; head against ~ wall ; hold my|your|his|the breath ; bit my tongue|lip|nails|cheek ; sprained my brain ; pregnant ~ cat|dog|sheep|cow|mare|ewe|pause ; bored numb ; numb with|from boredom|shock|grief ; numb bum|bottom|backside
    bum|bottom|backside ~ numb ; comfortably numb
    numbing cream|gel|spray ; mind numbing|numbingly ; mind ~ numb ; brain ~ numb
    dentist ~~ numb|numbness|swollen|tingly|tingling
    face|lip|lips|nose|ears|cheeks|chin|toes|tooth|teeth|gum|gums|mouth|jaw|tongue ~~ numb|tingly|tingling ~~ cold|wind|snow|frost|ice|dentist|filling|
        crown|anaesthetic|chilli
    arm|arms ~ dead|jelly after|from ; faint with|from|of hunger|excitement|joy|praise ; tingle|tingling|tingles ~ of|with ~ excitement|anticipation|joy|nerves
    <cannot> speak highly|to_him|to_her|for_everyone|for_others ; <cannot> talk now|long|tonight|to_you|on_the|today ; <cannot> move for ; gin|tonic ~ weak
    mouth|lip|gum|tongue|jaw|cheek|face ~ numb|swollen ~~ dentist|filling|tooth|injection
    numb|numbness|swollen ~~ dentist|filling
    real pins and needles ; sewing|knitting|dressmaking|quilting ~~ ~~ pins and needles
    on pins and needles
    spine tingling ; tingling with excitement|anticipation ; tingle with excitement ; tingly feeling of
    tea|coffee|signal|wifi|beer|battery|joke|excuse|drink|squash|link|sun|light|plot|team|pound|argument ~ weak|weaker
    weak tea|coffee|signal|wifi|excuse|joke|spot|point|willed|moment|beer|squash|argument|battery|sunshine|link|drink|sun|pun|will
    weak at the knees ; weak # of ; my|the|his|her weaker side|arm|hand|one
    weak for chocolate|cake|biscuits ; week|weak end
    power cut ; no|lost power ~ cut|house|phone|storm|street|outage ; will power
    no willpower
    no use crying|asking|moaning ; lost use of the|my car|van|kitchen|oven ; get a grip
    lose|losing|lost my? grip on ~ reality|things
    drop in_on|off_the|by_the|kids|him|her|them|a_line|down_to|to|from
    dropped in_on|off_the|by_the|down_to|to|from|the_kids|him|her|them|a_hint|kids|dog|round
    dropping off_the|him|her|kids|the_kids|round|hints
    drops|dropping to|off_the ; dropped the ball
    dropped|dropping ~ kids|son|daughter|parcel|letter ~ off|school|round
    electric bike|car|blanket|kettle|fence|bill|toothbrush|shock_horror|drill ; nerve racking|wracking
    jokes|puns|excuses is|are|was|were weak ; pins and needles tin|box|jar|drawer
    mouth|tongue|lips ~ numb ~ from|with ~ chilli|chillies|chilies|curry|mint|pepper ; for a weak $
    """
)
_JOINTS_AND_KNOCKS = phrases(
    """
    locked out|myself|the_door|the_house|the_shop|the_car|my_keys|my_bike|my_phone|keys|door|car|gate|away|horns
    lock|locks the|my|down|up_shop|in|out|door|up
    phone|car|door|account|gate|bike|shed|computer|bathroom|loo ~ locked|locking
    locked ~ phone|car|door|account|gate|bike|shed|bathroom
    stuck in|at|on|with|behind|for|to ~ traffic|work|meeting|words|train|queue|rut|lift|routine|plan|office|programme|it|schedule|lorry|tractor
    stuck indoors
    door|drawer|zip|lid|printer|photocopier|window|key|jar|car ~ stuck|jammed|jam|locked|seized
    traffic|strawberry|raspberry jam ; jammed with
    pop|popped|popping into|to|round|over|by|music|song|along|corn|out_to|out_for|in_to|in_for|down_to|home|an|two|some|back_to
    popped|pop|popping ~ kettle|bread|oven|shop|shops|pill|tablet|paracetamol|ibuprofen|champagne|balloon|question|oven|post|pub
    snap out|decision|shot|happy|chat|election ; snapped at|out|my_pencil|a_photo|photo|picture|a_pic
    cold snap ; snapped ~ photo|picture|pencil
    cracked it|on|a_joke|up|open|the|an_egg ; crack on|the|of|at|an|open|in
    bow|bra|pencil|string|lead|rope|shoelace|cello ~ snapped|popped
    cork|balloon|button|bubble|popcorn|toaster|ears|ear ~ pop|popped|popping
    heard|felt ~ pop ~ song|music|champagne|cork
    hit the|a|my|me|# hay|gym|road|shops|nail|wall|sack|roof|target|goal|ball|bar|pub|town|button|send|wrong|spot|limit|enter
    hit # ;  ; pain|it hit #
    knocked it|them|all|out|off ~ out|off|back|on_the
    knock|knocked back|up|early|some|out_my|out_all|over_a|over_the|over_my ; knock|knocked off early|at|for|work|now|late|!
    smashed|crushed|nailed|banged|bashed|whacked it|them|the|all|out|through|#
    smashed my|the|all|out ~ sets|exercises|target|goal
    crushing|killing|smashing it
    broke|broken|break|breaks|breaking ~ record|routine|streak|rhythm|habit|promise|phone|kettle|car|boiler|nail
    broke up|even|off|for|into|down|a_sweat|fast ; i am broke
    broken sleep|night|nights|record|biscuit|glass|down|english
    twist|twisted|twisting my|an arm ; arm twisting ; cost an? arm
    caught|trapped ~ traffic|rain|meeting|lift ; caught up|red_handed
    tear jerker|up_the|off_the|tears
    tore|ripped|rip up_the|off_the|jeans|my_jeans|my_shirt|my_coat|the_paper|my_trousers|my_tights
    blown up|away ~ balloon|photo|tyre|picture ; swollen head|river ; ego|river ~ swollen|swelled
    swell|swells|swelled|swelling|swollen with ~ pride|joy|emotion ; black and blue ; dislocated from
    hit by a|the ~ bill|tax|cold|bug|wave|fine|strike|storm ; hot|red|burnt|pink ~ from|in|off ~ sun|sunshine|sunburn|bath|shower|oven|gym|run|sauna
    red hot chilli|poker|chillies|curry|deal|favourite|peppers ; poisoned the|some|my|chalice ~ weeds|rats|ants|ivy|lawn|mice|slugs|nettles
    hot bath|shower|water|day|weather|drink|chocolate|date|tub|meal|food|yoga|tea|flush|flushes|dinner|desk|compress|pack|summer|spell
    hot and bothered|sweaty|humid|sunny|cold|sticky
    it is|was ~ hot ~ today|outside|here|out|weather|tonight
    red wine|nose|bull|light|car|tape|cross|face|card|letter|meat|hair|kettle|rag|shirt|pepper|onion|bus|carpet|faced|paint|jumper
    room|outside|oven|water|air|body temperature
    temperature|temp outside|drop|control
    temperature|temp ~ outside|room|office|greenhouse|oven
    fever dream ; spring|hay|cabin|disco|saturday|election|gold|football|christmas|cup fever
    hayfever ; fever pitch ; shivering|shivers outside|in_the_cold|waiting|down ; infection control
    infectious laugh|laughter
    injury time|list|lawyer|news ; old injury|injuries ; no injury ; before the|my injury
    since the|my injury|accident|fall
    locked up the|my|our shop|store|office|house|place|church|school|cafe|hall|gate ; locked up late|early|for_the_night
    shop|office|house|church|school|cafe|hall|cupboard is|was|were? locked
    boiler|bulb|fuse|kettle ~ popped ; jug|jar|bottle|bulb|vase|plate , it popped|cracked|snapped
    it popped and shattered|burst
    """
)
_LUMPS_AND_NIGHTS = phrases(
    """
    lump sum|it|in_it|of ; lump ~ in my throat ; lumps and bumps ; lumps ~ porridge|gravy|sauce|custard
    growth spurt|mindset|industry
    goose bumps ; bump in_the|into|along|up|start
    cancer research|charity|ward|run|star|awareness|walk|nurse|fundraiser ; race for life
    up|awake all night ~ <little>|work|working|reading|tv|football|party|studying|gaming|shift|playing|watching
    <little>|husband|wife|partner ~ wakes|waking|woke|woken|awake|up|keeps|kept|keeping ~ me|us ~ up|awake|every|night|all?
    every|each ~ night ~ i_do|shift|shifts|asking|exercises|same_time
    awake|up every night with ~ <little>
    wake|wakes|up every night ~ for_the_loo|to_pee|for_a_wee|to_feed|toilet|loo
    day and night shifts|shift|cream
    sweating|sweats ~ gym|run|heat|hot|workout|spinning|sauna|kitchen ; <little> ~ sweating|sweats
    sweat pants ; no sweat
    lost|losing|lose|dropped|shed ~~ weight|kg|kilos|stone|pounds|lbs ~~ diet|slimming|gym|running|purpose|dieting|keto|fasting
    lost|losing|lose|dropped|shed ~~ weight|kg|kilos|stone|pounds|lbs ~~ yay|deliberately|healthy|target|club
    diet|slimming|dieting ~~ lost|losing|lose ~~ weight|kilos|stone|lbs|pounds|kg
    lost|lose ~ pounds ~ bet|match|shop|slot
    lost the? my? track|count|patience|signal|phone|keys|temper|interest|game|wifi|connection|bet|remote|glasses|match|job
    dropped ~ weight ~ on|from|to|down ; dropped|lowered|reduced the weight|weights
    weight dropped from|to|by ; it is ~ too hot|cold|warm
    """
)
_COLOURS_AND_COLD = phrases(
    """
    white wine|water|lie|flag|noise|board|christmas|bread|van|shirt|paint|out|collar|coffee|knuckle|knuckled|hand_towel|gloves|gloss
    blue monday|moon|cross|tooth|tac|badge|sky|team|bin|shirt|jeans|tape|pen|light|tit|tick|ticks|button|paint|ink
    feeling blue
    <pale> paint|ink|dye|chalk|flour|plaster|dust|varnish
    <pale> ~ <limb> ~~ paint|ink|dye|chalk|flour|plaster|dust|dough|icing|cream
    <limb> ~~ <pale> ~ paint|ink|dye|chalk|flour|plaster|dust|from_the_paint
    flour|paint|ink|dye|chalk|plaster|icing ~~ <limb> ~~ <pale>
    paint|ink|dye|chalk|flour|plaster|icing ~~ <pale> ~~ <limb>
    grey day|weather|hair|area|outside|sky|skies ; pale ale ; ice cold beer|drink|water|lager|pint|shower
    cold outside|weather|drink|water|beer|shower|pack|compress|turkey|sore|tea|coffee|call|dinner
    cold and flu|wet|windy|rainy|dark|snowy|frosty|miserable|damp|blue_sky|grey_day|grey_out|grey_outside
    got|have|had|caught a ~ cold
    """
)
FIGURES = (
    *_DEATH_AND_HEART,
    *_BREATH_AND_FALLING,
    *_NERVES_AND_STRENGTH,
    *_JOINTS_AND_KNOCKS,
    *_LUMPS_AND_NIGHTS,
    *_COLOURS_AND_COLD,
    *MOOD,
)
