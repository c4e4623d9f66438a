"""Thoughts of self-harm, hopelessness, not coping, as people type them."""

from core.answers.lexicon import phrases

SELF_HARM = phrases(
    """
    kill|killing|harm|harming|harmed|hang|hanging|drown|shoot|stab|cutting|top|off|end|ending <myself>
    end|ending my_life|it_all|everything|my_own_life|things|it ; take|taking my own? life
    suicide|suicidal|selfharm ; self -? harm|harming|harmed|harms
    want|wish|going|rather|ready|hope|like|trying|plan|planning|try ~ to? die
    want|wish|rather ~ to? be dead
    wish|wished i was|were|is dead|gone|never_born ; wish ~ had not been|never born|woken ; never been born
    kms
    rather be dead ; better off dead|gone|without_me ; better|happier|easier ~ without me|me_gone|if_i
    want|going|thinking|thoughts|urge|tempted|think|feel ~~ hurt|hurting|harm|harming|cut|cutting <myself>
    hurt|hurting|cut|burn|burnt <myself> ~ on_purpose|deliberately|intentionally|again
    not want to live|exist|be_alive|wake_up|go_on|carry_on|continue_living
    not want to be here|alive|around $ ; not want to be here|around ~ more|today|tomorrow
    not wanna ~ here|live
    want to disappear|die|vanish ; want|need it_all|everything|it to stop|end|be_over
    never|not wake|waking up ; never wake|waking
    jump off|in|under|from ~ bridge|train|front|roof|building|window ; not care if|whether i live|die|wake
    thoughts|thinking|think ~ about|of dying|death|ending ; goodbye everyone|all|world
    no reason ~ live|living|alive|here ; nothing ~ to live for
    tired|sick of living|life|existing|being_alive|being_here
    had enough of life|living|everything|being|it_all ; not worth living|being_here
    life ~ not worth|pointless|worthless|meaningless|over ; dark|bad thoughts ; dark|bad place
    not deserve to live
    nobody|everyone|no_one|they ~ would|will|had ~ care|miss|notice|happier|better ; finish <myself>|it_all
    not see ~ myself ~ being|here|alive ; not be here ~ tomorrow|longer|morning ; overdose on purpose
    as well be dead ; better if i was|were ~ not|dead|gone
    wish i was|were|did|had not ~ here|exist|alive|born|around
    do something stupid|silly|bad to|$ ; something stupid ; not safe ~ <myself>|alone|home|tonight
    not trust <myself>
    done|finished with ~ life|living|it_all|everything ; out of this|my life ; want|need ~ out of ~ life
    end of me
    tired of ~ fighting|it_all|everything|being_here ; no will|wish|desire to live
    stockpiling|saving ~ <pill>
    goodbye ~ letter|note ; my family ~ better|without_me ; not ~ exist ; leave this world
    go to sleep forever ; sleep forever
    not ~ why ~ should|bother ~ live|go_on|carry_on|be_here ; why ~ should ~ live|be_alive|go_on|carry_on ; why ~ go_on|bother_living|live
    no|not longer? see ~ reason ~~ live|living|alive|go_on|carry_on|being_here
    better|happier|easier ~ if i was|were|am dead|gone|not_here ; done|finished with being alive|here
    started|been|keep|kept cutting my ~ arm|arms|wrist|wrists|leg|legs|thighs
    cutting my ~ arms|wrists|legs|thighs again
    """
)
HOPELESS = phrases(
    """
    no point ~ going|living|carrying|anything|life|being|to|me|any ; no point $ ; what is the point|use
    pointless ~ living|life|existence ; nothing to look forward
    everything is pointless|hopeless|dark|black
    <cannot> ~ go|carry on ; <cannot> keep going ; <cannot> ~ cope ; not coping ; no longer ~ cope
    not think ~ can ~ go_on|carry_on|cope|do|keep_going|take
    <cannot> take|do|face|handle|bear|stand|deal ~~ any_more|much_more|longer|anymore
    <cannot> take|do much|any more
    <cannot> face ~ day|anything|people|life|tomorrow|anyone ; <cannot> live like|with
    not want ~ live like
    hopeless|hopelessness|worthless|despair|despairing|depressed|depression|desperate ; no hope
    lost|losing|given_up|give_up|giving_up|out_of all? hope
    giving|given|give up on life|everything|living|<myself>
    feel|feels|feeling like giving up ; want to give up ; i give up ; giving up ; given up
    hate my_life|<myself> ; useless ~ person|human|burden ; a burden ; end of my tether|rope
    breaking point
    falling|fallen|fall apart ; having|had|heading ~ breakdown ; breakdown ; mental breakdown
    losing|lost my mind ; going under
    <cannot> stop crying ; crying all|every|constantly|again|non|myself ~ time|day|night|stop|sleep|?
    cry every|all|myself
    so|very|really|feeling|feel|felt ~ low|empty|trapped|broken|desperate|overwhelmed|lost ; overwhelmed
    panic attack|attacks
    rock bottom ; lost the will ; no will to ; struggling ~ cope|mentally
    mentally ~ struggling|bad|broken|dark
    barely|hardly ~ coping|cope|functioning ; nobody cares|understands ; no one cares
    all|so|completely alone
    <cannot> see ~ way_out|future|end|point ; not see ~ way_out|future|end|point ; no way out
    no future
    my life is over|ruined|finished ; not getting|get out of bed ; not in a good place ; not ok mentally
    so dark
    fed up of|with life|living|everything ; not want to ~ this anymore|any_more ; <cannot> get out of bed
    really|so|very|feeling|feel|felt|been ~ down|hopeless|useless|suicidal|bleak|helpless $
    nothing matters ; lost all interest ; in tears ~ every|all|again|constantly
    life ~ ruined|unbearable|awful|hell|misery|miserable|too_much ; everything is too much
    it is all too much ; all too much ; too much to cope|bear
    not see|know ~ how ~ go_on|carry_on|cope|keep_going ; had enough $ ; cry|crying|cried ~ myself to sleep
    broke|broken down ~ crying|tears
    mental health ~~ bad|worse|awful|terrible|low|suffering|rock ; <cannot> see ~ end|light
    hard|struggling to ~ cope|go_on|carry_on|keep_going
    no hope left|any_more ; not have any hope left|any_more
    """
)
