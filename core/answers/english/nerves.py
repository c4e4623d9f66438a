"""Signs that a nerve has lost its function: numbness, weakness without pain, a wrist that drops (evidence rows H4, H6)."""

from core.answers.lexicon import phrases

NUMB = phrases(
    """
    like ~ wearing ~ glove|gloves ; buzzing|buzz|vibrating ~~ <limb> ; <cannot> tell ~ hot|sharp ~ cold|blunt
    <limb> ~~ like|as ~~ cotton|wool|wood|wooden|rubber|rubbery|sausages|sausage|jelly|plastic|leather|glove|gloves|
        mine|stone
    <limb> ~~ not ~ mine|my_own|belong|belongs ; <limb> ~~ belongs|belong ~ someone|somebody|another
    <limb> ~~ someone else's|somebody else's ; <cannot> feel ~~ when|if ~ touch|press|pinch|hold|grip
    <cannot> feel ~ hot|cold|heat|pin|pins ; zap|zaps|zapping|zapped|jolt|jolts ~~ <limb>|down|neck
    shock|shocks ~~ down|into|through ~~ <limb> ; <limb> ~ not|never|no feel|feels|feeling
    <limb> ~ is|are|keeps|always? ~ sleep|sleeping|sleepy|asleep ; <limb> ~ burns|burning ~~ fingers|hand|down
    burning ~~ <limb> ~ into|to|and ~ fingers|hand|thumb ; <limb> ~ gone|went|goes|feels dead
    formication|ants ~ crawling ~~ <limb> ; ants|insects ~~ <limb> ; cramping|cramp ~~ fingers|hand ~ claw ; claw hand
    numb|numbness|numbing|numbed|tingling|tingle|tingles|tingly|tingled ; pins and|n|& needles|needle ; pins needles
    <limb> ~ feels|gone|went|goes|is|feel|are|felt|all|going ~~ dead|asleep|fuzzy|sleep ; <limb> ~ asleep
    dead arm|hand|fingers|feeling ; <limb> keeps|keep ~ going dead|asleep ; <limb> ~ fell|fall|falls|falling asleep
    electric ~ shock|shocks|shooting|zaps|pain ; like electricity ; prickling|prickly|fizzing
    shooting|burning|electric|stabbing ~~ down|into|to ~ <limb> ; shooting pain|pains ~~ <limb>|neck
    <hurt>|shoots|shooting|travels|runs ~~ from ~ neck ; neck <hurt> ~~ arm|hand|fingers
    hand|arm|fingers|thumb ~ went|gone|goes|going|gets|fall|falls|falling to? sleep|asleep ; burning ~ fingers|hand
    hand|fingers feel|feels ~ fuzzy|weird|funny|strange|odd|far ; paraesthesia|paresthesia
    went|gone|goes|going|feels|is|are|feel|felt num ; num <limb>
    less|reduced|little ~ feeling|sensation ~ in|of|there|at ~ <limb>|it?
    """
)
NUMB_ALL = phrases(
    """
    <limb> ~ completely|totally|entirely dead
    lost touch in ~ <limb> ; <limb> ~ feel|feels ~ nothing ; lack|loss of feeling|sensation|touch
    no|lost|losing|loss ~ feeling|sensation ~ in|of|there|at ~ <limb>|it? ; lost the feeling
    lost all? feeling|sensation ; <unable> feel my|the|all|these|any|some ~ <limb> ; <unable> feel ~ <limb>|anything
    loss of sensation|feeling
    feeling|sensation ~ gone|went|disappeared|vanished|left ~ in|from|!|at|of|out|all|completely
    <limb> ~ completely|totally|entirely numb ; numb all the way|time
    """
)
SPREADING = phrases(
    """
    weakness ~ worse|worsening|increasing ; grip|strength ~ worse ~ every|each|by_the
    weak|weakness|weaker|numb|numbness|tingling|tingly|pins_and_needles|needles ~~ spreading|spreads|spread|
        creeping|creeps|travelling|climbing
    numbness|weakness|tingling|it|needles ~ moving|moved|gone|going|goes|coming up|into|to|down|through ~ <limb>|shoulder
    spreading|creeping weakness|numbness|tingling ; weaker and weaker ; weaker ~ every|each|by_the|day_by
    weakness ~~ overnight|suddenly|spreading
    """
)
DROP = phrases(
    """
    dropped wrist|hand ; wrist|finger drop
    wrist ~ drop|drops|dropped|dropping ; has|have|just|keeps|is dropped|dropping wrist|hand
    wrist|hand|fingers|finger|thumb ~ droop|drooping|drooped|droops|flop|flops|floppy|limp|hanging|hangs|hang|
        dangles|dangling|sags
    wrist|hand ~~ hanging ; hand|fingers|thumb drops|dropped|drop $|when|down|if ; wrist|hand has dropped
    floppy|limp|paralysed|paralyzed|useless|lifeless|dead_weight ~ <limb>
    wrist|fingers|finger|thumb ~ not ~ lift|rise|raise|extend|come|straighten ~ up|back|out|straight|!|and|at
    <unable> ~ lift|raise|extend|straighten|uncurl ~ my|the|this|these|that|any|out ~ wrist|fingers|finger|thumb
    <unable> ~ lift|raise|get|pull|cock ~ hand|wrist|it ~ up !|at|any_more|and
    <unable> ~ lift|raise ~ hand ~ at ~ wrist ; wrist|hand ~ not ~ lift|rise|raise
    fingers|finger|thumb|wrist will|would|do not straighten|extend
    """
)
USE_LOST = phrases(
    """
    <limb> ~ will|would not ~ work|move|respond|do|listen|open ; <limb> ~ not ~ respond|move|open
    <limb> ~ useless|powerless|lifeless|paralysed ; <unable> ~ move|use ~ my|the|this|these|any|at ~ <limb>|all
    <unable> ~ lift|raise|use|open ~ arm|hand|fingers ; arm|hand ~ not lift|raise|open ; <unable> move|use it
    lost|losing|loss|no|loosing all|of? my|the? use|control|movement ~ in|of|there|at|it|my|the|!
    lost|losing|loosing all|complete|most of? my|the? strength|grip|power|feeling
    all|completely ~ strength|power|grip ~ gone|left|disappeared
    strength|power ~ all|completely ~ gone|left|disappeared ; no strength|power|grip ~ at all
    complete|total|sudden loss|weakness ~ of|in
    """
)
WEAK_ALONE = phrases(
    """
    lost|grip|strength|weak|weakness ~~ out of the blue
    <weak> ~~ <painless> ; <weak> ~~ <end> ~~ <painless> ; <painless> ~~ <weak> ; <painless> ~ <end> ~~ <weak>
    painless weakness ; weak|weakness ~ not|never|rather_than ~ sore|painful|pain|hurting
    getting|gets|growing|going|becoming|become weaker ; weakening|weakened
    muscle|muscles|arm|forearm|hand ~~ wasting|wasted|shrinking|thinner|shrunk|smaller|withered
    muscle ~ dent|hollow|vanished|gone|missing ; dent|hollow ~ muscle|arm|forearm
    sudden|suddenly|overnight ~~ weak|weaker|dropping|grip ; weak|weaker ~ suddenly|overnight|out_of_nowhere
    """
)


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
