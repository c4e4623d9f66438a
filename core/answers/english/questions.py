"""Questions that only a person should answer: medicine, injections, surgery, diagnosis, a change of exercise."""

from core.answers.lexicon import phrases

# Treatment spoken of: not said to be had or booked.
TREATED = phrases(
    """
    shot in ~ elbow|arm|tendon ; injected ~ this_morning|today|yesterday|with|tomorrow
    steroid|cortisone|hydrocortisone|prp|elbow|tendon injection|injections|jab|jabs|shot|shots
    injection|injections|jab|jabs|needle|shot ~ of|with? ~ steroid|steroids|cortisone|prp
    injection|injections|jab|injected|steroid|cortisone ~~ elbow|arm|tendon|physio|consultant|surgeon|specialist
    elbow|arm|tendon ~~ injected ; had|got|given|getting|have ~ injection|cortisone|steroid
    injection ~ today|yesterday|this_morning|tomorrow|monday|tuesday|wednesday|thursday|friday|saturday|sunday|earlier
    they|doctor|consultant|surgeon|gp|physio|nurse|hospital injected
    surgery|operation|op ~~ elbow|arm|tendon|wrist ; elbow|arm|tendon ~ surgery|operation|op
    having|had|have|got|booked|date|listed ~~ surgery|operation|operated ~ next|on|tomorrow|this|for|in
    """
)
QUESTIONS = phrases(
    """
    is|are ~ <treatment> ~ worth ~ it|having|getting|trying ; can|could|would you ~ change|adjust|alter|swap|review|shorten ~ my|the ~ programme|exercises|sets|dose|plan|weight
    clash|mix|interact|combine with|these|them|this|it ~~ <pill> ; is|are wine|beer|alcohol|drinking|drink|smoking ~ ok|safe|allowed|bad
    is|are ~ clicking|crunching|grinding|soreness|stiffness|aching|swelling|pain|this|these|it|they ~ bad|normal|right|ok|wrong|serious|dangerous|expected ~ $
    is this|it the right|wrong|best ~ exercise|exercises|programme|one|way|weight
    is|are|was|would|will ~ <treatment>|<pill>|<activity>|exercise|exercises|programme|it|this ~~ safe|ok|good|bad|allowed|any_good|
        dangerous|useful|helpful|worth|normal|harmful|alright ~ for|with|on|me|if|or|to|in|while|when|when|my
    is|are ~~ <treatment>|<pill>|<activity>|exercise|exercises ~~ safe|ok|good|bad|any_good|dangerous|allowed|helpful $
    is|are safe|ok|good|bad|dangerous|allowed|normal|possible ~ to|with|for|if|when|put
    injection|injections|<treatment> ~~ good|bad|safe|ok|help|helps ~ for|or|with ~ me|not|no|elbow
    asked|asking|asks|wants_to_know|wonders|wondering if|whether|is ~~ ok|safe|allowed|suitable|alright|fine ; ok|safe|fine|alright ~~ is it ?
    does|do|will|would|should ~ that|this|it matter|affect|interfere|stop|count|hurt|help|work ; what do|would you think
    does ~ it|this|that|<treatment>|<pill>|<activity> make|affect|help|hurt|cure|work|harm
    may|can|could|should|might i ~~ use|wear|try|have|drink|eat|take ~ <treatment>|<pill>|machine|device|alcohol|drink|wine|beer|
        pacemaker|one_of|some|a|an|the
    would you say ~ i|it|this ; would you recommend|advise|suggest ; what happens if ; how long|soon ~~ wait|stop|rest|leave|off|start
    should|shall|could|can|may i|we ~~ <treat>|<activity>|<treatment>|<pill>|worry|expect|ignore|ask|buy|
        eat|drink|make
    should|must|ought i|we to? ; can|could|may i <treat>|<activity>
    am i ~~ doing|damaging|making|allowed|overdoing|harming|safe
    is|are|was|would|will|it it|this|that|there|they|these ~ ok|safe|normal|bad|dangerous|alright|wise|
        harmful|common|better_to ?
    is it|this|that ok|safe|normal|bad|alright|fine|dangerous|right|wrong|better|best|worth|too|possible|
        serious|permanent|tennis
    is it ok|safe|normal|bad|alright|fine|dangerous|harmful to|if|that|for|when|i
    ok|safe|alright|fine to ~ <treat>|<activity>
    is|are ~~ normal|safe|dangerous|ok|bad ? ; too|so heavy|light|easy|hard|much|many for ~ ?
    is|could|might|would|can|may ~ it|this|that|i|elbow ~ be|have? ~ <disease>
    is ~ it|this|that ~ <disease>
    do|does|will|would i|it need|have|require|want ~~ <treatment>|<clinician>|rest|stop|see|weights|test|
        tests
    do i need|have|stop|keep|carry|rest|take|go|ice|continue|use|start|wear|increase|see
    would|could|will|does|do|did ~ <treatment>|<pill>|rest|stretching ~ help|work|hurt|harm|cure|fix|
        cause|damage|interfere|heal
    will|does it|this|they|my ~~ heal|cure|better|go_away|get|last|damage|permanent|recover|improve|ever|
        come_back
    what|how|about ~ dose|dosage ; how many|much ~~ <pill> ; how much|many ~ can|should i ~ take
    how often ~~ take|<pill>|ice|do|use
    how long ~~ last|heal|better|recover|until|before|till|rest|wait|ice|wear|am|will ; how heavy
    how much weight
    when|how_soon can|will|could|should|do|does i|it|this|my|the ~~ <treat>|<activity>|better|heal|normal|
        gone|go
    what ~ wrong with ~ my|me|<limb>|it ; what is|could|can|would wrong|causing|cause|this_be|happening
    why is|does|do|are|am|did|has|it|might my|it|this|the|i ~~ <hurt>|click|clicks|clicking|worse|stiff|
        burn|grind|creak|crunch|heal
    do you think i|it|this|my|that|the ; what do you think ~~ <treatment>|brace|about|of
    do you|we recommend|advise|suggest
    diagnosis|diagnose ; second opinion ; mri|xray|ultrasound ; x - ray
    what about ~ <treatment>|<pill>|<activity>
    <treatment>|<pill> ~~ ? ; <pill> ok|safe|with|or ~ ? ; <treatment> or <treatment>|<pill>
    thinking of|about ~ getting|having|trying|taking|using|seeing|stopping|starting|an|a ~ <treatment>|
        <pill>
    any|which|what ~ <treatment>|<pill>|exercises|exercise ~~ best|recommend|good|better|advise|suggest|
        should|would
    recommend|advise
    what ~ should|can|could i ~ take|use|do|try|wear|eat|buy ~ for|about|with|instead|to|if
    change|swap|replace|switch|alter ~ the|my|this ~ exercise|exercises|programme|program|dose|weight|
        plan|routine|hold|holds
    different|another|other|harder|easier exercise|exercises ; allowed to ; any advice ; need advice
    advice on|about|please
    <clinician> ~~ wants|suggested|recommended|says|said|offered|prescribed|offering|told|recommends|
        suggests ~~ <treatment>|<pill>
    offered|prescribed|recommended|given ~ <treatment> ~~ ?
    need|want|get|getting|book|like ~ an|a|my|some ~ <treatment>
    side effects|effect ; worth ~ trying|seeing|getting|having|taking ; harmful|contraindicated
    interact|interaction ~ with
    can|could you|someone|anybody|anyone ~ advise|check|look|explain|prescribe|refer|recommend|
        adjust ~~ why|my|me|if|weight|it|dose|pain
    who should|do|can i ~ see|ask|contact|speak
    want|like|need|love to ~ speak|talk|see|ask|call ~ with|to ~ <clinician>|someone|human|person
    is there|are anything|something|a_way|risk|danger|chance ~
    increase|reduce|lower|raise ~ weight|load|dose|reps ~ ?
    which|what weight|load ; more than one|once ~ day ? ; what if
    wondering|wonder|wondered if|whether|about ~~ <treatment>|<pill>|should|could|can|need|stop|normal|ok|
        safe
    not|do_not sure|know if|whether ~ i should|need|can|could|ought ; when ~ should i
    should|would it|they|my|this ~ <hurt>|feel|click|be|burn
    what|which strength|brand|kind|type of? ~ <pill>|<treatment> ; any good ? ; good idea ?
    can|could|should|may i|you ~~ take|have|do ~~ <pill>|sets|holds
    """
)
