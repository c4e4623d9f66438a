"""What changes whether the programme is safe: pressure, an injection, surgery, a medicine, whose elbow it is."""

from core.answers.lexicon import phrases

PRESSURE = phrases(
    """
    blood_pressure|bp|reading|pressure ~~ # over|/ ~ # ; # over|/ # ~~ blood|bp|pressure|reading ; systolic ~ #
    blood_pressure|bp ~~ # ; cuff|machine|monitor|nurse|chemist|pharmacist|surgery|doctor ~~ # over|/|by ~ #
    # over|/|by #
    """
)
PRESSURE_HIGH = phrases(
    """
    blood_pressure|bp ~~ too|very|really|extremely|so|dangerously high
    blood_pressure|bp ~~ sky_high|sky_-_high|skyhigh|through_the_roof|not_under_control|out_of_control
    blood_pressure|bp ~~ uncontrolled|not_controlled|dangerously_high|not_well_controlled|not_stable|unstable|all_over_the_place
    uncontrolled|dangerous ~ blood_pressure|bp ; <cannot> ~ control ~ blood_pressure|bp
    <cannot> ~ get ~ blood_pressure|bp ~ down|under_control
    """
)
NEAR_FAINT = phrases(
    """
    <nearly> ~ <faints> ~~ with|during|after|doing|from|on|in|through ~~ <set>|them
    with|during|after|doing|did|on|finished|from ~~ <set>|them ~~ <nearly> ~ <faints>
    """
)
WITH_THE_SETS = phrases(
    """
    <dizzy> ~~ with|during|after|doing|from|on|in|through|halfway ~~ <set>
    with|during|after|doing|from|on ~~ <set> ~~ <dizzy>
    <set> ~ and|then|but|so ~ felt|feel|got|went|came|saw ~~ <dizzy>
    <set> ~~ make|makes|made|making|gave|give|gives|giving|left|leave|leaves|bring|brings ~~ <dizzy>
    <dizzy> ~ doing|with|during|after them|it|these|those|each|every
    <dizzy> ~ when|whenever|while|as ~~ hold|holding|grip|strain|lower|push
    holding|exercising ~~ makes|made|gives|gave ~~ <dizzy>
    """
)
INJECTED = phrases(
    """
    <jab> ~ in|into ~ elbow|tendon ~ booked|due|scheduled|done ; prp ~ done|today|yesterday|tomorrow|booked
    had|got|given|received ~~ <steroid> ~ <jab>
    had|got|given|received ~~ cortisone|prp !|today|yesterday|in|into|done|this|on
    had|got|given|received ~~ <jab> ~ in|into|for ~ elbow|tendon
    had|got|given ~ my|the|an|another injection ~ today|yesterday|this_morning|tonight|!|earlier
    <steroid>|elbow|tendon <jab> ~ today|yesterday|tomorrow|this|on|next|booked|done|due|went|went_in|appointment|<day>
    <jab> ~ in|into ~ my|the ~ elbow|tendon ~ today|yesterday|tomorrow|this|on|next|<day> ; elbow|tendon ~~ injected
    injected ~ elbow|tendon|it|me|this_morning|today|yesterday|with
    they|doctor|consultant|surgeon|gp|physio|nurse|hospital injected
    gave|giving me ~~ <steroid>|<jab> ~~ elbow|tendon ; gave|giving me ~~ <steroid>|prp ~ <jab>
    having|getting|booked|due|scheduled|appointment|date ~~ <steroid>|elbow ~ <jab>|prp ~ <day>|tomorrow|next|on|this|today|!|in|for
    having|getting|booked|due|scheduled ~~ <jab> ~ in|into ~ elbow|tendon ; booked ~ for ~~ prp|cortisone|injection
    my|the injection ~ is|was|booked|went ~ <day>|tomorrow|next|on|this|today|yesterday|fine|ok|well
    back from ~~ <steroid>|injection ~ <jab>
    jabbed|injected ~ my ~ elbow|tendon ; injection ~ today|yesterday|this_morning|earlier_today|tomorrow
    """
)
SURGERY = phrases(
    """
    operation|op ~ on|this|next <day>|tomorrow|week|month ; operation|op tomorrow|today|yesterday
    tunnel|release|wrist|hand|elbow|tendon|keyhole surgery ~ tomorrow|today|yesterday|next|on|last|this|<day>
    had|having|have|getting|after|since|booked|date|listed|scheduled|recovering|need ~~ surgery|operation|op ~ elbow|arm|tendon|wrist|shoulder
    had|having|getting|booked|date|listed|scheduled|following ~~ surgery|operation|op ~ next|on|tomorrow|this|for|in|today|yesterday|last|<day>|!
    elbow|arm|tendon|wrist ~ surgery|operation|op ~ next|on|tomorrow|this|for|in|today|yesterday|last|<day>|went|is|was|booked|done
    surgery|operation|op ~ on ~ elbow|arm|tendon ~ next|tomorrow|on|this|<day>|in
    operated on ~~ elbow|arm|me|tendon|wrist|it ; after|since my ~ surgery|operation|op
    tendon|elbow release ~ surgery|operation|op
    had|having ~ elbow|tendon ~ operated|repaired
    """
)
CAST = phrases(
    """
    in a? sling
    arm|wrist|elbow|hand|it ~ in a? ~ plaster|cast|pot|backslab ; in plaster ; in a plaster|cast|pot|backslab
    plaster|arm|wrist cast
    put ~~ in ~ plaster|cast ; put|have|had|got|wearing a ~ plaster_cast|cast|backslab ~ on|off|put|for|till|until|!
    cast ~ comes|came|taken|on|off ~ my|off|on|<day>|tomorrow|next|!
    """
)
PREGNANT = phrases(
    """
    i|we am|are ~ expecting ! ; pregnant ; pregnancy ~ test|confirmed ; expecting ~ baby|twins|in ; positive pregnancy
    i am ~ having a baby
    """
)
THINNED = phrases(
    """
    on|onto|started|starting|taking|prescribed|begun|given|put_me_on ~~ <thinner>
    <thinner> ~ started|start|since|every|daily|twice|now
    blood thinners|thinner ~ started|now|since|daily
    """
)
TENDON_MEDICINE = phrases(
    """
    cipro|ciprofloxacin|levofloxacin|ofloxacin|moxifloxacin|norfloxacin|delafloxacin|fluoroquinolone|fluoroquinolones|quinolone|quinolones
    """
)
AGE = phrases(
    """
    i am # <end>
    i am ~ # years|yrs|yr|year ~ old ; i am ~ # yo ; aged|age|turned # ~ years? ; i will|would be # ~ next|in|on
    i have only? just? turned # ; i am only|just # $ ; i am # and|but still|at|in school|college
    """
)
UNDER_AGE = phrases("i am under 18 ; i am a minor ; i am ~ still ~ at|in school ; i am not ~ 18 ; under 18 ; under age|aged")
SOMEBODY_ELSE = phrases(
    """
    not my ~ elbow|arm ,? ~~ <kin>|his|her|their|hers|theirs
    not me ~ , ~~ <kin> ; not for me ~ ,? ~~ <kin>
    doing|filling|answering|using|typing|replying|writing|sending this|it|these ~~ for ~ my|a|her|his ~ <kin>
    this|it is ~ for my|a|our ~ <kin> ; on behalf of ~ my|a|our ~ <kin>
    <kin> is using|doing this|it ~ programme|my|with
    answering|replying|asking|writing for ~ my ~ <kin> ; it is|was ~ my ~ <kin> ~ elbow|arm ~ not mine|me|my
    this is|it_is ~ <kin> , ~ here ; <kin> ~ elbow ~ we are|i_am ~ doing|treating
    """
)
