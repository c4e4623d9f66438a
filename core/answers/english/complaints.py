"""The condition itself: a weak grip, a dropped cup, a jar that stays shut; asked about, never stopped for."""

from core.answers.lexicon import phrases

WEAK = phrases(
    """
    struggle|struggled|struggling|trouble ~ with ~ jar|jars|lid|lids|tin|kettle|bottle|bottles|buttons|tap|taps|opener|pan|pans
    weak|weakness|weaker ; <limb> ~ feeble|hopeless ; <cannot> ~ squeeze|grasp|pinch|wring|unscrew|twist
    <cannot> ~ hold|grip $ ; <cannot> ~ grip|hold|lift|open|turn|pick|carry|use|pour|undo|manage ~~ <object>|<limb>
    <cannot> ~ make|close|grip|do|clench ~ fist ; <cannot> ~ close ~ hand|fingers
    <cannot> ~ grip ~ my|the|it|arm|elbow|wrist|fingers|thumb|hand|this|anything
    <cannot> ~ do|fasten|undo ~ buttons|button|zip|laces|bra|shoelaces|belt
    <cannot> ~ write ~ name|properly|any_more|!
    slip|slips|slipping|slipped|fall|falls|falling|drop|drops ~ out|through|from ~ of? my? ~ hand|hands|fingers|grip
    <object> ~ fall|falls|fell|slips|slipped|falling|slipping ~ out|from|through
    dropping|drops|drop|dropped ~ <object> ; keep|keeps|kept dropping ; wringing|opening|lifting|gripping|turning|holding|twisting|pouring ~~ hard|difficult|impossible|struggle|tricky
    grip ~ just? goes|went|fails|failed|halved|worse|reduced|rubbish|poor|shot|gone|going|week|failing|useless
    grip? strength ~ halved|dropped|reduced|shot|gone|going|draining|left ; strength|power ~ gone|going|left|draining
    lost|losing|loss|no|lose|less|lack|loosing|little of? my|the|any? strength|grip|power
    not ~ have|has|got|get ~ force|strength|power|grip ~ in|to|for|!
    arm|hand|wrist|fingers ~ is|feels|felt|getting|very|so|really|are|gone week
    arm|hand|grip|wrist ~ gives|giving|gave ~ way|out|up ; hand|grip ~ lets|letting|let ~ go
    grip ~ not ~ what|strong|there|good ; <limb> have|has|had|got|with no ~ force|strength|power ; no force|power in|!
    wrist|hand|fingers|thumb ~ will|would|can not ~ grip|close|hold|squeeze
    """
)

# What makes the question about it worth asking again, however it was answered before; evidence rows H4 and H6.
WORSE = phrases(
    """
    without|no|any pain ; painless|painlessly|pain_free ; not hurt|hurting|hurts|painful|sore ; sudden|suddenly|overnight
    all at once ; out of nowhere|blue ; from one day|moment ; worse|weaker|worsening|worst ; more and more ; less and less
    spread|spreads|spreading ; hang|hangs|hanging|droop|droops|drooping|limp|floppy|dangle|dangles|dangling ; numb|tingling
    not ~~ at all ; no strength|power|grip|force ; completely|totally|altogether ; both hands|arms|sides ; other hand|arm
    """
)
