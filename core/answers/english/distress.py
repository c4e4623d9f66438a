"""Thoughts of self-harm, hopelessness, not coping, as people type them."""

from core.answers.lexicon import phrases

_MEANS_TO = "want|considering|consider|thinking|thought|tempted|might|going|planning|plan|feel|could|urge|wanting"
LITERAL = phrases(
    f"""
    {_MEANS_TO} ~~ overdose|od ; {_MEANS_TO} ~ take|taking|swallow|swallowing ~ all|whole|entire|every|too_many|load|bunch ~~ <pill>|<packet>
    """
)
SELF_HARM = phrases(
    """
    die|dying|death ~ be|is ~ relief|easier|better|kinder|release ; relief|easier|kinder|better to die ; should be dead ; should ~ have died ; have|been cutting !
    not want tomorrow ; what is left for me ; thinking|think|thoughts|thought ~ about|of not waking ; better off with me ~ dead|gone ; drinking <myself> to death
    whether|if i live|die !|or ; care|look after|care_of ~~ when|after|once i am gone ; be my last ~ message|night|day ; i might|may do something !
    scared|afraid|frightened to be ~ on_my_own|alone|by_myself ; run out of reasons ; permanent peace ; want peace|rest forever
    cut|burn|burned|burnt|burning|cutting <myself> last_night|again|with|deliberately|on_purpose ; might|worried|scared|afraid|frightened ~~ hurt|hurting|harm|harming <myself>
    throw|chuck|fling|hurl|throwing|chucking|flinging|hurling <myself> ; could|might|nearly|almost ~ <leap> ~ into ~ river|sea|traffic|wall|tree|canal|oncoming|lake|water
    enough ~ <pill> to ; hiding|hoarding ~ <pill> ; time to end this|it|things|everything ; time for me to go !|for_good
    disappointed|gutted|sad|sorry|annoyed|upset ~ i woke ; disappointed|gutted|sad|sorry ~ still alive|here ; obsessed|preoccupied|thinking|thoughts ~ with|about|of ~ dying|death|dead
    better ~ to die ; finish ~ with? ~ my life ; not ~ want ~ be in this world|life ; not want be ; want|need ~ it over with ; not make it to|through ~ tomorrow|night|week|weekend
    wish|could|want|rather ~ just? stop|cease existing|being|breathing ; easy|easier it would be ~ to ~ go|end|die|stop|disappear ; free|rid of me ; only ~ way out
    end ~ it|my_life tonight|now|for_good ; want|wanted ~ to? ~ end ~ my life ; decided to end|die|go ; makes|make me want to ~ die|end|kill ; driving me to suicide
    want|wish|deserve|ready|prefer|hoping ~ die|dead|death ; unalive|unaliving ; hate ~ living|being_alive|existing ; <cannot> stand ~ living|being_alive|life
    someone|somebody ~ kill me ; not care|bothered|mind|fussed|matter ~~ if i ~ die|died|live|lived|hit|killed|gone|dead|disappeared|vanished
    hope|wish ~~ kills|killed me ; urge|urges|need|want ~ to cut ! ; relapsed ~ cut|cutting|harm|harming ; cutting again ; blade|razor|knife to my
    <pill> ~ in my hand|hands ; this is ~ goodbye ; bye|goodbye ~ everyone|everybody|forever|cruel ; tonight is the night ; last message you|from_me|ever
    i am ~ not safe ! ; keep|keeps|kept ~ looking|thinking|going|driving|staring ~~ bridge|railway|tracks|cliff|ledge|drop
    <dwell> ~ railway|train line|tracks ; walked|went|drove|stood ~~ bridge|tracks|cliff|railway|platform|edge ~~ nearly|almost
    <dwell> ~~ drive|driving|swerve|steer ~ off ~ road ; into ~ oncoming ; quit life|living ; no|not want ~ more? ~ life|living|live
    head|brain|voice|mind ~ tell|tells|telling|says ~ me? ~ to ~ finish|end|die|do_it|jump|kill ; <cannot> live !|any_more|with_myself|no_more|this_way
    why am i ~ alive|here ! ; why ~ still alive ; why ~ bother|bothering ~ alive|living ; will and ~ plan ; better off not ; wish|want ~ it ~~ stop|end|over ! ; nothing for me ~ here|any_more
    kill me ~ please|serious|seriously ; please ~ kill me ; end ~ suffering|misery ; put me out of ; never wanted to ~ die|live
    ways|way|how|best_way to ~ die|kill|end_it|end_my|end_things ; <cannot> keep ~ living|doing this|like|it
    easier|better|happier|nicer|rather|prefer ~ not ~ to? be|being ~ here|alive|around ; would|id ~ happier|better|easier ~ dead|gone ; the_world|they|kids|family ~ better off !
    want ~ fade|slip|drift away ; want ~~ end|stop|over for_good|forever ; god|lord|please|just ~ take me now|away|tonight
    burn|burned|burnt|burning|scratching|scratched|punching|hitting ~ <myself>|my_arms ~~ purpose|bleed|bled|deliberately
    let me die ; nothing ~ here|left for me ; got|bought|have ~ rope|noose ; if i had a gun
    could|might|nearly|almost|gonna|will|would|should ~~ <leap> ~~ in_front_of|under|off ~ <deadly>
    nearly|almost|about_to jump|jumped !|yesterday|today|tonight|off ~ bridge|roof|building|cliff|balcony
    nearly|almost jumped !|yesterday|tonight|last ; <leap>|drove|crashed ~~ on purpose|deliberately ; want|thinking|tempted ~~ crash|crashing ~ car|it|my
    hurting|harming <myself> ; <myself> ~ off|under ~ bridge|train|roof ; voices ~~ telling|tell|tells|say|saying|hurt ; voices ~ in my head
    want|going|might|urge|could ~ to? ~ hurt|harm|kill ~ someone|somebody|people ; tell ~ kids|family|wife|husband|mum|children ~ i love|loved
    goodbye ,? ~ thanks|thank ~ everything ; everyone|everybody|they ~ better ~ if i ; i will not ~ be needing|need ~ this ~ longer
    my life ~ finish|finished|end|ended|over ; tired for|to live ; think ~ better ~ die|dead ; not ~ force|strength|energy ~ to|for live|life|go_on|carry_on
    where i am going|im_going ~ not|no ~ need ; wishing ~ dead|gone|end ; hope ~ die|dies|dead ~ i ; i ~ hope|pray ~ die|dead
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
    if i ~ not|never wake|woke ; to not|never wake ; sleep|bed and never|not wake ; i will|would|might|may|could|do ~ not|never ~ wake up ; never waking
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
    do something stupid|silly|bad to|$ ; something stupid ; not safe ~ <myself>|alone|home|tonight|my_own
    not trust <myself>
    done|finished with ~ life|living|it_all|everything ; out of this|my life ; want|need ~ out of ~ life
    end of me
    tired of ~ fighting|it_all|everything|being_here ; no will|wish|desire to live
    stockpiling|saving|saved|hoarding|hoarded|stashing|stashed|lined|collecting ~ <pill>
    <pill> ~ lined|saved|stashed|stockpiled ; counting|counted|count ~ <pill> ~~ enough ; plan and ~ <pill>
    goodbye|farewell ~ letter|letters|note|notes|messages ; my family ~ better|without_me ; not ~ exist ; leave this world
    go to sleep forever ; sleep forever
    not ~ why ~ should|bother ~ live|go_on|carry_on|be_here ; why ~ should ~ live|be_alive|go_on|carry_on ; why ~ go_on|bother_living|live
    no|not longer? see ~ reason ~~ live|living|alive|go_on|carry_on|being_here
    better|happier|easier ~ if i was|were|am dead|gone|not_here ; done|finished with being alive|here
    <dwell> ~~ <leap> ~~ in_front_of|under|off|into|onto|on ~ <deadly>
    <dwell> ~~ <leap> ~ it|car|myself ~ in_front_of|under|off|into ~ <deadly>
    <dwell> ~ jumping|jump $ ; going to jump $ ; in_front_of|under ~ train|lorry|bus|truck ~ end
    <dwell> ~ <leap> ~ out|from ~ window|balcony|roof
    want|think|thinking|thought|thoughts|like|try|trying|plan ~ to? ~ kill|killing|hurt|harm me
    might|could|going|would|will|may ~ do ~ to myself ; scared|frightened|afraid|worried ~~ i will|might|could|may do !|to|tonight|next ; scared|frightened|afraid of myself
    not mind|care if i ~ not|never wake ; what ill do ; not|never want|wish|care|hope|need|desire|like|mind ~ to? ever? wake ; hope|wish|pray|mind|fine|rather ~~ not|never wake
    hope|wish ~~ sleep ~~ not|never wake ; not wanting to wake|live|be_here|go_on|exist
    not want|wish|desire ~ to? live|exist|continue|be_alive ; not want|wish ~ more ~ live ; no want ~ live
    want|need|wish|going ~ finish|stop|leave ~ my life|this_world ; want out $ ; no more life|living
    wish|want|could|like ~ to? disappear|vanish
    thoughts|thinking|think ~ ,? about|of ~ not ~ being? here|around|alive ; id|would ~ better dead
    ok|fine|better|happier|alright|manage|cope|safer ~ without me $ ; kids|children|wife|husband|family|everyone|they ~ better off ! ; not hear|see ~ me again
    wrote|written|writing|write ~ letter|letters to|for ~ kids|children|family|everyone|loved
    wrote|written|left ~ note $ ; said|saying|say ~ my? goodbyes
    looking|looked|staring|stare|holding at? ~ knife|knives|blade|blades|razor|razors|rope ; a noose|ligature
    tempted|want|thinking|thought|going ~~ take|taking ~ them_all|all_of_them|all_my|whole|every ~ <pill>?
    do|did something silly|stupid|bad tonight|to|$ ; going to do something silly|stupid|bad
    cut|slit|slash|slashed|cutting my ~ arms|wrists|legs|thighs ; od on
    no reason|point|use|sense|purpose ~ me ~ being|going|living|carrying|here
    started|been|keep|kept cutting my ~ arm|arms|wrist|wrists|leg|legs|thighs
    cutting my ~ arms|wrists|legs|thighs again
    """
)
HOPELESS = phrases(
    """
    <cannot> ~ see|think ~ why ~ should|would|carry|bother|go_on ; <cannot> ~ picture|imagine ~ future|way|life ; my ~ world ~ collapsed|ended|over|gone|shattered
    not know how ~ i|to ~ get|make_it|go ~ through ~ tonight|tomorrow|another|this ; see why i|id ~ carry|go|bother
    <cannot> bear it|this ; more than i can bear|take|cope|stand|handle ; how much|long longer|more ~ i can ~ go_on|take|cope|bear|do_this|stand|keep|last
    no fight left ; fight|strength|energy left ~ in me ; life ~ is|feels|seems ~ pointless|worthless|meaningless|hopeless|awful|miserable|not_worth
    broke down sobbing|crying ; about to crack|snap ! ; i break|broke|breaking ~ down ~ sobbing|crying|every|again|in_tears ; break|broke|breaking down ~ sobbing|crying|every|in_tears ; i am|feel ~ about to ~ crack|snap|break !
    black|dark|deep ~ hole|pit|void ; feel|feeling|am like nothing ; no use|good to ~ anyone|anybody|anything|family ; hate|loathe|despise ~ who|what i am
    loathe|despise|disgusted ~ <myself> ; ruined|ruining|destroyed|destroying|wrecked|wrecking my|whole ~ life ; living ~~ not worth ; nothing to ~ get up ; no escape !|from
    beyond|past help|saving|repair ! ; nobody|no_one can help ; find|see|need|have ~ reason to ~ keep_going|carry_on|go_on|live|keep ; everything black ; on the verge|edge of ~ breakdown|breaking
    going|gone|driven mad ~ with ~ it_all|despair|grief|pain ; broken inside|man|woman|person ; empty|hollow shell
    hope ~ gone|lost|dead ; lost|losing|no|without|little|beyond ~ hope ! ; all hope ~ gone ; i am ~ not ~ ok|okay|alright ! ; not ok|okay mentally|at_all|in_myself
    bad|dark|awful|low|rough|terrible ~ mentally|emotionally ; kids|wife|family|they|children|husband deserve|deserves ~ better
    never felt ~ so|this ~ low|bad|hopeless|alone|down|desperate|lonely|worthless ; crying ~~ no reason ; not left ~ bed|house|flat ~~ days|week|weeks
    life ~ is ~ nothing|over|empty|hell|torture ; no|not can live ; life sucks ; sick of myself ; too much sad|sadness ; so ~ sad !
    in a bad way ! ; not ~ doing well mentally ; i am ~ lost ! ; nowhere to turn ; no one|nobody ~ cares|loves|listens|understands
    <cannot> see ~ it ~ getting better ; never ~ get|going_to_get|be ~ better ! ; spirit|spirits ~ broken|crushed
    life ~ too hard|much|difficult|painful ; dead|numb|empty|broken|hollow|nothing inside ; i do not matter ; i am nothing
    not care any_more|about_anything|about_myself|what_happens !|to|anyway ; no light ~ tunnel|end ; <cannot> see ~ light|way
    dread|dreading ~ waking|tomorrow|every|each|living|morning ; <cannot> function ; not function|functioning
    sobbing|weeping|bawling|crying ~ all|every|constantly|for_hours|uncontrollably|my_eyes|most
    keep|keeps|kept ~ crying|weeping|sobbing|bursting|breaking ~ into|down|!|all|and ; <cannot> stop ~ weeping|sobbing|tears|crying
    floods of tears ; burst|bursting into tears ; head|mind is|feels ~ in ~ bad|terrible|awful|dark|horrible ~ place
    mentally ~~ bits|pieces|low|shattered|drained|unwell|ill ; losing|lose|lost the will ; this is the end !|for
    i am at the end !|of ~ it|everything|road|line ; anxiety ~~ bad|unbearable|leave|awful|worse|<cannot>|cripples|crippling
    alone in the world ; so|too|terribly|unbearably|desperately lonely ; everything|it_all|all ~ is ~ dark|black
    all black ; let everyone down ; everyone deserves|deserve better ; <cannot> face ~ leaving|going_out|seeing
    spiralling|spiraling ~ down|again|!|out ; meltdown ; crisis ; at crisis point ; mental|nervous collapse
    no|any point|use|reason|purpose|sense|meaning ~ to|in|of|for|why? ~ <goon> ; no point ! ; what is the point|use !
    no point to|in ~ anything|any|me|life|it_all|trying ; no point ~ any_more|living|anything|life|being|me|trying
    what is the point|use of|in|to? ~ <goon> ; what is it all for ; <cannot> see ~ point $ ; not see ~ point|reason ~ <goon>
    no reason to ~ get|wake ~ up|bed|morning ; life|it ~ no|not|lost|without|any ~ meaning|sense|purpose ~ $
    life ~ no|not|nothing|lost|any ~ meaning|sense|purpose|point ; life has|have|had|is no|nothing
    had it with life|everything|living|this_life|it_all ; sick of it_all|everything|life
    not managing|functioning ~ at_all|any_more|$ ; not managing well|life ; <cannot> manage ~ life|any_more !
    <cannot> ~ go_on|carry_on ~ $|like ; no way forward|through ; not see ~ way ~ forward|through|ahead
    i am ~ broken $ ; i am ~ drowning ; feel|feels|feeling|felt like ~ drowning|failure|waste
    at|end ~ wits|wit_is end ; falling|fallen|fall|going|gone|coming apart|to_bits|to_pieces
    have|got|with no_one|nobody $|left|to ~ talk|turn|help|tell
    have|got|with no_one|nobody $|left|any ; no_one|nobody to talk|turn ; everyone|everybody|nobody|no_one hates|loves|likes|needs|wants me
    everything ~ pointless|hopeless|bleak|falling|collapsing|worthless|meaningless
    useless|worthless|failure|waste ~ to|for|of everyone|everybody|anyone|anybody|space|my_family
    i am ~ worthless|useless|failure $|to|and|person ; have|had|got|getting|with panic ~ attack|attacks|and|every|$
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
    feel|feels|feeling like giving up ; want to give up ; i give up ; giving up ; given up $|now|completely|hope|all
    hate my_life|<myself> ; useless ~ person|human|burden ; a burden ; end of my tether|rope
    breaking point
    having|had|heading ~ breakdown ; breakdown ; mental breakdown
    losing|lost my mind ; going under
    <cannot> stop crying ; crying all|every|constantly|again|non|myself ~ time|day|night|stop|sleep|?
    cry every|all|myself
    so|very|really|feeling|feel|felt ~ low|empty|desperate|overwhelmed ; feel|feels|feeling|felt ~ trapped|broken|lost ; so|completely trapped|broken|lost ! ; overwhelmed
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
