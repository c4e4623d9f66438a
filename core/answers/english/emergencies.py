"""Possible emergencies of the body, as people type them."""

from core.answers.lexicon import phrases

LITERAL = phrases(
    """
    chest|heart|breathing ~ killing me ; ribs|chest|breastbone ~~ like ~~ vice|vise|clamp|press|belt|band|brick
    """
)
CHEST = phrases(
    """
    heart ~ is|feels|keeps ~ stopping|failing
    heart stops|stopping|stopped and starts|starting|started ; heart|pulse ~ all over ~ place|shop ; heart ~ make|makes|give|gives ~ pain
    <press>|<hurt>|stabbing ~ under|in|behind|across ~ left? ~ breast|front ; tightness ~ across ; now ~ it is? in? my chest ; chest now
    <hurt>|pressure ~ in|of|at|around ~ heart ; heart <hurt>|pain
    left arm ~~ heavy|aches|ache|aching|pain|numb|tight|weird|hurts ~~ sick|sweaty|sweating|clammy|breathless|dizzy|jaw
    in the middle|centre|center of my chest ; indigestion ~~ jaw|arm|shoulder ; into|to|in|up my? jaw|neck and ~ arm|arms|shoulder
    heart ~~ racing|pounding|thumping|fluttering and ~ skipping|missing|stopping ; heart ~~ somersaults|tripping|stuttering|flutters|flutter ; heart rate|pulse ~~ not ~ come|go|settle|slow|stop
    heart beat|beats ~ very|so|too? fast|funny|irregular|hard|quick ; heart rate|pulse ~ irregular|erratic|sky_high|racing
    ribs|ribcage ~~ vice|vise|band|belt|crushed|crushing|elephant|clamp ; <press>|band|vice|vise|clamp|elephant ~~ ribs|ribcage
    sitting|standing|stamping|pressing|kneeling|squeezing|crushing|sat|stood ~~ ribs|ribcage|chest
    chest ~~ vice|vise|clamp|brick|bricks|pushing|constricted|fire|agony ; vice|vise|clamp|brick|bricks ~~ chest
    tearing|ripping pain ~~ chest|back|shoulder|belly|stomach|blades
    heart ~~ missing|misses|skips|beats|flipping|galloping|banging|mad|crazy|clappers|bursting|jumping|thudding ~ !|beat|beats|and|out|out_of|for
    heart ~~ all over the place ; heart ~~ out of ~ chest ; irregular|missed heartbeat|heartbeats
    my chest it ; chest ~ presses|squeezes|burns
    chest ~~ <hurt>|<press> ; <hurt>|<press> ~~ chest ; <press>|sore|painful chest ; elephant ~~ chest
    heart_attack|cardiac_arrest|angina|palpitations
    <hurt>|tingling|numb|numbness ~ down|in my? left arm and|with|plus ~ jaw|chest|sweating|sweaty|sick|
        breathless
    jaw <hurt> ; <hurt> ~ jaw
    heart ~~ racing|pounding|fluttering|skipping|stopped|irregular|thumping|hammering
    sitting|standing|stamping|pressing|squeezing|crushing|band ~~ chest
    chest ~~ like|weird|funny|bad|odd|band|strange|fluttering|palpitations
    heart ~~ stopping|stopped|beating ~ fast|funny|weird|hard ; crushing pain
    left arm ~~ sweating|sweaty|jaw|clammy
    clammy|sweaty|sweating ~~ chest|jaw|left_arm
    breastbone|sternum ~~ <hurt>|<press> ; <hurt>|<press> ~~ breastbone|sternum
    my chest ,|. it is like ; not ~~ elbow , it is my chest
    """
)
BREATH = phrases(
    """
    struggling|fighting|trying|hard to ~ get ~ air|breath ; <cough> ~ pink|frothy|froth
    ate|eaten|eating ~ peanut|peanuts|nuts|nut|shellfish|prawns|prawn|egg ~~ <swell>|rash|throat|hives|swollen
    winded ~ walking|just|easily|sitting|standing|! ; inhaler ~ not ~ work|working|touching|helping|doing|help ; tongue|lips ~ feels|feel|is|are ~ fat|thick|huge|big
    face ~ like ~ balloon|football|pumpkin ; not|no ~ respiration ; itching|itchy all over and ; breathing ~ not ~ right|good
    puffing|panting|breathless|puffed ~~ sat|sitting|lying|nothing|rest|resting ; airways|airway ~~ <press>|closing|narrow|blocked
    suffocating|suffocate|suffocated ; throat ~~ <swell> ; breath|breathing ~ difficult|hard|painful|rapid|fast
    <cannot> ~ breathe|breath|breathing
    not|difficulty|trouble|fighting|gasping|problems ~~ breathe|breath|breathing
    <hurt>|sharp ~ when|if|whenever|as|to|every_time|each_time ~~ breathe|inhale|breathing|deep_breath|take_a_breath
    breathing|breathe ~ hurts|painful|agony ; struggling|fighting|gasping|hungry|desperate ~ for air ; not ~ get ~ air
    respirate|respire ; face|eyes|eye ~~ puffing|puffed|ballooned|swole ; hives ~~ throat|face|breathing
    hives|rash ~~ and ~~ <swell>|breathing|throat|puffing
    throat ~~ closing|blocked|tightening|narrowing ; <swell> ~~ throat ; face|lips|tongue ~ blown up
    short|shortness of breath ; out of breath ; breathless|breathlessness|gasping|choking|wheezing|wheezy
    no air
    breathing ~~ bad|hard|difficult|funny|problems|worse|strange|wrong|painful|laboured|labored|shallow|
        heavy
    throat ~~ closing|closed|swelling|swollen|tight ; lips|tongue|face ~~ <swell>|blue
    <swell>|blue ~ lips|tongue|face
    anaphylaxis|anaphylactic|allergic_reaction
    stopped breathing ; <cannot> swallow ; breath ~ short|shallow|gone
    """
)
STROKE = phrases(
    """
    <cannot> feel ~ wiping|wee|weeing|peeing|bottom ; legs ~ not ~ work|working|move|hold
    not know|remember what|which day|year|month ~ it is ; not can ~ speak|breathe|move|walk|talk|see ; wet the bed ~~ legs
    smile ~~ lopsided|crooked|uneven|wonky|one_sided ; words ~ get|gets|getting|got|are ~ stuck ; leg|foot ~ dragging|drags ; dragging ~ leg|foot
    use of ~ left|right|one|whole ~ side ; vision|sight|eyesight ~ went|gone|going ~ in|on|!|for ; one|left|right eye ~ no|not|cannot ~ see|vision|work
    face|mouth ~ one|left|right side ~ not|no ~ move|moving|work ; numb|numbness ~ around|round|in|at ~~ passage|bottom|anus
    half|side of ~ body ~ not ~ move|work|feel|respond
    eyelid|cheek|eye|eyebrow ~~ droop|drooped|drooping|dropped|droopy|sagging|sagged ; left|right half ~~ <limp>|weak ; half of me
    arm|hand and ~ leg ~~ not ~ work|move|lift|respond ; talking|speaking|talked|spoke|speech ~ gobbledegook|gobbledygook|nonsense|double_dutch|backwards
    curtain|shadow ~~ eye|eyes|vision ; spinning|dizzy|dizziness|giddy|vertigo ~~ <cannot> ~ stand|walk|balance|see|up|focus ; suddenly|sudden ~ dizziness|vertigo
    <cannot> ~ walk straight|properly ; <cannot> ~ keep|find ~ balance ; headache ~~ nowhere|worst|hammer|explosion ; headache ~~ , ~ came ~~ nowhere|suddenly|seconds
    not know where i am !|or|and|now|, ; not know|remember ~ who i am ; not know|remember my name|own
    lost|no|losing ~ feeling|sensation ~ legs|bottom|bum|groin|saddle|between|both ; saddle ~~ numb|numbness|tingling
    <cannot> ~ control|hold ~ bladder|bowels|wee|pee|poo ; mouth|face ~ is|has|been? go|going|gone|pulled|pulling ~ to|on|one ~ side|left|right
    fever|temperature ~~ stiff neck ; fever|feverish|temperature|infection and|, ~ confused|delirious|drowsy|rambling
    shock ~ off|from ~ mains|socket|cable|plug|wire|cooker
    stroke|tia ; slurred|slurring|slur|slurry
    face|mouth ~~ droop|drooping|drooped|droopy|droops|dropped|fallen|sagging|lopsided|crooked
    face|mouth|smile ~~ slid|slides|sliding|slipped|slipping|slack|wonky|uneven|crooked|twisted|drops|sags|sag
    face|mouth ~ is? fall|fell ~ one|side|left|right|down ; half ~ face|mouth|smile|tongue
    words ~ came|come|coming|came_out|come_out|coming_out ~ wrong|funny|weird|backwards|mixed|garbled|slow|slurry|strange|odd|rubbish
    <cannot> ~ find|get|say|make|form|put|string|finish|remember ~ words|word|sentence|sentences ; talking|speaking gibberish|rubbish
    words ~ not ~ come|coming|make_sense ; speech|talking|tongue ~~ thick|garbled|slow|jumbled|wrong|nonsense|gibberish
    lost|losing|lose|no ~ sight|vision|eyesight ~ in|of|for|on|left|right|one|my|eye|suddenly|!
    seeing|see double ; everything ~ went|gone|goes ~ black|blank|dark|blurry ; vision|sight|eyesight|eye ~ went|gone|going|goes|turned|is ~ black|blank|dark|blurry|blurred|blind|grey|foggy
    blind ~ eye ; <cannot> ~ see ~~ eye|eyes ; clumsy ~~ words|speech|face
    incontinent|incontinence ; <cannot> ~ pass ~ water|urine ; no urine|wee|pee ~~ today|hours|since|all|days
    not ~ peed|weed|urinated|passed_water ; wet|wetting|soiled|peed|weed <myself> ; no control ~ bladder|bowel|bowels
    lost|losing|no ~ control ~ bladder|bowel|bowels|wee ; numb|numbness|feel|feeling ~~ down below|between ; between my legs
    numb|numbness ~~ crotch|privates|undercarriage|saddle|buttocks ; bladder ~~ gone|not_work|control|numb
    legs ~~ numb|weak|dead ~~ bladder|wee|pee|urinate|toilet|bowels|wet
    left|right|one arm|hand and|& ~ left|right|same? leg|foot|face ~~ <limp>|numb|weak
    arm|hand and ~ leg|foot|face ~~ <limp>|weakness|numbness|gone|useless ; weak|numb|heavy ~ arm|hand and ~ leg|face
    stiff neck ~~ ,|and? ~~ fever|temperature|light|rash|headache ; light hurts ~ eyes ; <cannot> ~ look|stand ~ light ; meningitis
    rash ~~ not ~ fade|blanch ; confused|muddled ~ and ~ fever|drowsy|shivering ; headache ~ like|came ~ thunderclap|bang|explosion
    face ~ numb|numbness|weak|tingling ; drooping|droopy|numb ~ face
    speech ~ gone|funny|muddled|weird|strange|difficulty|affected
    words ~~ jumbled|muddled|mixed|funny|slurry
    <cannot> ~ speak|talk ; <cannot> get my|the words ; lost my? vision|sight|speech|balance
    one|whole|entire|left|right|other side ~~ <limp>|numbness
    <limp>|numbness|weakness|feel|move ~~ one|whole|left|right side
    arm|hand|face and|& leg|arm ~~ <limp>|move|feel ; leg and|& arm ~~ <limp>|move|feel
    both legs ~~ <limp>
    sudden|suddenly ~ headache|confusion|confused|blind|dizzy|blurred ; worst headache ; thunderclap
    vision|sight ~ gone|lost|blurred|double|blurry ; double|blurred|lost vision ; suddenly ~ not see
    <cannot> see anything|properly|straight|clearly|out_of ; gone|went blind
    paralysed|paralyzed ; <cannot> move|feel ~~ side|leg|legs|face
    <cannot> pee|wee|urinate ; numb|numbness ~~ groin|saddle|legs|genitals
    lost control of ~ bladder|bowels|bowel
    one|left|right|half|other side of ~ face|mouth|body ; side of ~ mouth|face
    half ~ body|face ~~ <limp>|move|feel
    <cannot> get ~ words|word ; <cannot> ~ talk|smile ; severe|terrible|blinding|splitting headache
    suddenly|sudden ~ weak|numb|weakness|numbness
    facial droop|drooping|weakness|palsy ; arm drift
    """
)
COLLAPSE = phrases(
    """
    blood|bleeding ~ not ~ stop|stopping|slow|clot|let ; my head ~ and ~ <cannot> ~ stop|keep|stay
    <struck>|hitting|landed|fell|smacked ~~ head ~~ and ~~ <concussed> ; my head ~~ <end>|and ~ <cannot>|not ~ remember|recall ; head knock|injury|bang ~~ <end>|and ~ <cannot>|not ~ remember|recall
    blackout|blackouts !|and|at|in|today|this|again|while|for ; went|felt|came_over|go|feeling ~ dizzy|woozy|faint|funny|lightheaded ~~ floor|ground|down|over|fell|collapsed ; some|kind|sort ~ of fit|seizure
    fit|shaking|jerking ~~ ,|and ~ bit ~ tongue ; body ~ jerked|jerking|jerks|shook|convulsed ; lost ~ few|couple|several ~ minutes|hours|seconds
    artery|severed ; pumping out ; bleeding and bleeding|bleeding ~ everywhere ; blood ~ come|comes|coming|came ~ from|out|with|when ~ cough|mouth|lungs|stomach|vomit|bottom|throat
    my skull ; bleeding|blood|fluid ~~ ear|ears ; fluid ~ from|out ~ nose ; bled through ; poo|poos|stool|stools ~ is|are|was|were|like|gone ~ black|tar|bloody|red
    fell|fall|went_down|hit|fallen ~~ and|, ~ not|never ~ remember|recall ; resus|resuscitated ; intensive care
    rushed|blue_lighted|taken|carted ~ to|into ~ hospital|emergency|resus ; blue lighted
    fell|fall ~ and|, ~ not wake|move|respond ; not ~ remember falling|what_happened|hitting|going_down
    lost|losing|lose consciousness ; unconscious|seizure|seizures|convulsions|convulsion
    had|having|have|took|been|another ~ fit|fits !|and|today|tonight|this|at|in|earlier|yesterday|last|while|when
    convulsing|convulsed|fitting_on|epileptic ; keeled|keeling over ; funny turn ~~ floor|ground|out ; funny turn
    woke|waking|came_to|came_round|came|found|come ~ on ~ floor|ground|pavement|carpet|deck|grass|tiles
    went|gone down like ~ sack|tree|ton ; hit the deck ; everything|all|world went|goes|go black|dark
    lose|loose|losing|lost|loss of? ~ conscious|consciousness ; was|went|been|were ~ out cold ; out for the count
    knocked|knock <myself> out|unconscious|cold ; knocked|knock ~ unconscious|out_cold ; concussed|concussion
    <struck>|hitting|bang|bump|knock|hit|landed|fell|cracked|smacked ~~ head ~~ <concussed>
    <struck>|hitting|bang|bump|knock|hit|landed|fell|cracked|smacked ~~ head ~~ <end> ~~ <concussed>
    head injury|knock|bang|trauma ~~ <concussed> ; head injury|knock|bang|trauma ~~ <end> ~~ <concussed> ; <concussed> ~~ since|after ~~ <struck> ~ head
    <struck> ~ head ~ very|really|so? hard|badly ; serious|bad|nasty head injury|knock|wound
    <cough> ~ up|out? ~ blood|bloody ; <cough> blood up ; blood ~ in|when|with ~~ <cough>|phlegm|spit|mucus|stool|stools|poo|wee|urine|sick
    <cough> ~ with ~ blood ; black ~ tar ; black|tarry ~ poo|stool|stools|poos ; blood ~~ pumping|spurting|squirting|streaming|pumped
    not|can_not stop ~ blood|bleed|bleeding ; lost|losing ~ lot|loads|lots|much ~ blood ; bleeding ~ from|out|like ~ <limb>|pig|tap|tendency
    still bleeding ~ a|lot|heavily|after|through|and ; burn|burnt|burned|burns ~~ skin ~ off|peeling|gone|white
    drowsy ~ and ~ confused ; blood ~ everywhere|pouring|gushing
    coughing|vomiting|throwing|spitting|coughed|vomited up? blood
    bone ~ sticking|poking|coming|stuck out|through
    not stop ~ bleeding ; bleeding ~ heavily|badly|lots|not ; electrocuted
    next thing i knew ~~ floor|ground ; out cold ; woke|came_to on the floor|ground
    """
)
FAINT = phrases(
    """
    collapsed|collapse|collapsing ; passed|pass|passing|blacked|black|blacking out ; fainted|faint|fainting|fainty
    going|gonna|about to|might ~ pass_out|black_out|collapse|faint|keel_over
    dizzy|giddy|lightheaded and ~ faint|sick|sweaty|collapsed|fell ; nearly|almost|about ~ faint|fainted|collapsed
    """
)
CALLED_FOR_HELP = phrases(
    """
    <little>|son|daughter|child|grandson|granddaughter ~ swallowed|ate|eaten|got_into ~ my? ~ <pill> ; rung|dialled|dialed 999|911|112
    ambulance|paramedics|paramedic
    called|calling|call|ring|ringing|rang|dial|phoned|phone|phoning 999|911|112
    """
)
OVERDOSE = phrases(
    """
    <took> ~ way|far? too|to many|much ~~ <pill> ; <took> ~ load|loads|lots|heaps|handful|fistful|tons|bunch|dozens of? ~~ <pill>
    <took> ~ all|every|the_rest_of ~ <other> ~~ <pill> ; <took> ~ too many|much of ~~ <pill>
    <took> ~ hole|whole|entire|full|complete|all|rest ~ <packet> ~ <pill>? ; <pill> ~~ ,|. ~ hole|whole|entire|full <packet>
    <took> ~ twice|double|triple|quadruple|three_times|four_times ~ as|the|my|dose|amount|many|much|normal|what
    emptied|emptying|finished|downed|necked ~ <pill> ~ <packet> ; emptied|downed|necked ~ <packet> ~ <pill>
    <took> ~ a|whole|two|half|one <packet> ~ of <pill> ; not know|remember how many ~ <pill> ; took|taken|swallowed ~ wrong|someone|somebody ~ <pill>
    mixed|muddled ~ up? ~ <pill> ; <cannot> ~ stay|keep ~ awake ~~ <pill>|since|after ; <took> ~ <packet> ~ of? wine|vodka|gin|whisky|alcohol ~~ <pill> ; swallowed|ate|necked the|a|whole|that <packet> ; overdid|overdone|overdo ~ <pill> ; had|took|taken|eaten ~ dozen|dozens ~ <pill>? ; drank|drunk|drinking|swallowed ~~ antifreeze|bleach|weedkiller
    washed|washing down ~ <packet>|handful|lot ~ <pill>? ; <packet> of <pill> ~ with|and ~ wine|vodka|gin|whisky|alcohol|drink
    drank|drunk|swallowed|drinking ~ bleach|antifreeze|weedkiller|detergent|turps|thinners|ant_killer ; <pill> and ~ vodka|whisky ~ all|whole|bottle
    <took>|injected ~ too much|many|double ~ insulin
    overdose|overdosed|overdosing|od'd|poisoned
    took|taken|swallowed|ate|eaten|drank|had|take|taking too many|much ~~ <pill> ; too many <pill>
    way too much|many <pill>
    took|taken|swallowed|ate|eaten|drank|had|necked|take ~~ whole|entire|full|all|rest box|packet|bottle|
        strip|pack|packets|lot|blister ~ <pill>?
    took|taken|swallowed|necked all ~ <pill> ; whole|entire box|packet|bottle|pack of ~ <pill>
    took|taken|swallowed|necked ~ loads|lots|handful|dozens|bunch|packet|box of ~ <pill>
    took|taken more ~ <pill> than ; more <pill> than ~ should|allowed|supposed|meant
    took|taken ~ <pill> ~~ more than ~ should|allowed|dose|supposed|max|maximum
    took|taken ~ double|twice|triple ~ dose ; double|triple dosed|dose_of ~ <pill>
    ate|drank|drunk|swallowed ~ bottle|box|packet of ~ <pill> ; all the|my <pill>
    mixed ~ <pill> ~~ alcohol|vodka|whisky
    """
)
MANY_TABLETS = phrases("took|taken|swallowed|had|necked|popped|downed|take|taking ~ # ~ <pill> ; # ~ <pill> ~ at|in once|one")
BLOODLESS = phrases(
    """
    <limb> <pale> ~~ cast|plaster|sling|splint|bandage ; <limb> ~~ <pale> ~ and ~ <cannot> feel
    <limb> ~~ like ice ~~ pale|numb|no|white|blue|grey|feeling ; <limb> ~ <swell> ~ and? ~ blue|purple ; clot|clots ~~ <limb>|leg|lung
    <limb> ~~ <turned> ~ <pale> ; <limb> <pale> ; <pale> ~ <limb>
    <limb> ~~ gone|went|turned|turning|going|goes ~ cold|purple
    <pale> and|, icy? cold|numb ; cold and|, ~ <pale>|purple ; <limb> ~ ice|icy|stone|freezing cold
    <limb> ~ cold and|& ~ numb|<pale>|colour ; no pulse ; <cannot> ~ feel|find ~ pulse ; pulse ~ gone|missing|absent ; <limb> ~~ no|lost colour|color|circulation|blood
    no|lost|losing colour|color|circulation ~~ <limb>
    no blood ~~ <limb> ; <limb> ~~ <pale>|cold and|& ~ <pale>|cold|numb
    <pale>|cold ~ <limb> ~~ cold|<pale>
    """
)
