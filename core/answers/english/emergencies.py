"""Possible emergencies of the body, as people type them."""

from core.answers.lexicon import phrases

CHEST = phrases(
    """
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
    <cannot> ~ breathe|breath|breathing
    not|difficulty|trouble|fighting|gasping|problems ~~ breathe|breath|breathing
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
    stroke|tia ; slurred|slurring|slur|slurry
    face|mouth ~~ droop|drooping|drooped|droopy|droops|dropped|fallen|sagging|lopsided|crooked
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
    collapsed|collapse|collapsing ; passed|pass|passing|blacked|black|blacking out
    fainted|faint|fainting|fainty
    lost|losing|lose consciousness ; unconscious|seizure|seizures|convulsions|convulsion ; had|having a fit
    coughing|vomiting|throwing|spitting|coughed|vomited up? blood
    bone ~ sticking|poking|coming|stuck out|through
    not stop ~ bleeding ; bleeding ~ heavily|badly|lots|not ; electrocuted
    dizzy|giddy|lightheaded and ~ faint|sick|sweaty|collapsed|fell
    nearly|almost|about ~ faint|fainted|collapsed ; blood ~ everywhere|pouring|gushing
    next thing i knew ~~ floor|ground ; out cold ; woke|came_to on the floor|ground
    """
)
CALLED_FOR_HELP = phrases(
    """
    ambulance|paramedics|paramedic
    called|calling|call|ring|ringing|rang|dial|phoned|phone|phoning 999|911|112
    """
)
OVERDOSE = phrases(
    """
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
    <limb> ~~ <turned> ~ <pale> ; <limb> <pale> ; <pale> ~ <limb>
    <limb> ~~ gone|went|turned|turning|going|goes ~ cold|purple
    <pale> and|, icy? cold|numb ; cold and|, ~ <pale>|purple ; <limb> ~ ice|icy|stone|freezing cold
    <limb> ~ cold and|& ~ numb|<pale>|colour ; no pulse ; <limb> ~~ no|lost colour|color|circulation|blood
    no|lost|losing colour|color|circulation ~~ <limb>
    no blood ~~ <limb> ; <limb> ~~ <pale>|cold and|& ~ <pale>|cold|numb
    <pale>|cold ~ <limb> ~~ cold|<pale>
    """
)
