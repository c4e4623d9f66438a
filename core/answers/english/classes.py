"""Word classes that the English phrases name in angle brackets; joined words stand for a run."""


def _class(words: str) -> frozenset[str]:
    return frozenset(words.split())


_PILLS = (
    "tablet tablets pill pills paracetamol paracetamols ibuprofen ibuprofens nurofen capsule capsules aspirin aspirins"
    " painkiller painkillers pain_killers pain_killer pain_pills codeine tabs heart_tablets sleepers antidepressants"
    " amitriptyline pregabalin gabapentin oxycodone oramorph sertraline citalopram warfarin metformin statins steroids"
    " insulin thinners thinner antibiotics antihistamines valium temazepam zopiclone oxycontin" " tabs tramadol naproxen cocodamol acetaminophen diclofenac morphine"
)
_KIN = (
    "mum mom mother dad father wife husband son daughter brother sister friend mate partner girlfriend boyfriend gran nan"
    " grandma grandad uncle aunt kid child"
)
_LIMBS = "hand hands finger fingers fingertips fingertip thumb thumbs arm arms forearm wrist wrists elbow elbows pinky"

CLASSES = {
    # may follow a phrase that must stand by itself
    "$": _class(
        "and but so because sorry today tonight pain though as just yet this it i for at all in of"
        " sets either really thanks lol mate again x xx by then - please done ) elbow can should what"
        " how do will could to be fair then with after before felt no except x"
    ),
    # may stand before a phrase that is easily part of something else
    "^": _class(
        "did do done managed through smashed and yes got them it finished finish complete completed have had just literally still said put told"
        " then but so pain sets set exercises holds elbow - + / = : & was is for today tonight score level sore no"
        " i've because though one ok ( plus"
    ),
    "!": _class("lol x xx xxx sorry tonight today now so but really honestly tbh again though tho pain and because haha ("),
    # calendar
    "day": _class(
        "monday tuesday wednesday thursday friday saturday sunday mon tues tue wed thurs thu fri sat"
        " sun"
    ),
    "month": _class(
        "january february march april may june july august september october november december jan"
        " feb mar apr jun jul aug sept sep oct nov dec"
    ),
    "span": _class("day days week weeks month months fortnight while bit weekend weekends moment"),
    "moment": _class(
        "morning afternoon evening tonight night noon midday lunchtime lunch earlier later now"
        " overnight bedtime mornings evenings nights afternoons mostly"
    ),
    "year": frozenset(map(str, range(1930, 2026))),
    # body
    "limb": _class(_LIMBS),
    "arm": _class("arm arms side sides elbow elbows hand hands"),
    "joint": _class("elbow elbows joint arm skin forearm it wrist hand"),
    "elsewhere": _class(
        "shoulder shoulders knee knees back neck head hip hips ankle ankles foot feet leg legs tooth"
        " teeth wrist wrists thumb headache stomach belly ear throat toe toes jaw heel calf migraine"
    ),
    "hurt": _class(
        "pain pains painful throbs throbbing hurts hurt hurting ache aches aching sore discomfort stabbing agony"
    ),
    "press": _class(
        "tight tightness pressure heavy heaviness squeezing squeezed crushing burning weight pressing tightening tightens"
        " crush crushed crushes squeeze gripping clamped"
    ),
    "pale": _class("white blue pale grey gray bloodless"),
    "turned": _class(
        "gone went turned turning going goes looks look looking is are all was were feels feel felt"
        " very so"
    ),
    "limp": _class(
        "numb weak dead heavy paralysed paralyzed tingling tingly drooping dropped limp gone useless"
    ),
    "cannot": _class(
        "can_not could_not can_no_longer could_no_longer no_longer_able_to not_possible_to can_not_even can_hardly can_barely could_hardly could_barely unable_to not_able_to"
        " struggling_to hardly_able_to not_been_able_to struggle_to hard_to difficult_to"
    ),
    "unable": _class(
        "can_not could_not can_no_longer could_no_longer no_longer_able_to can_not_even can_hardly can_barely could_hardly"
        " could_barely unable_to not_able_to hardly_able_to not_been_able_to"
    ),
    "worse": _class("worse sorer more_painful more_sore hurts_more hurt_more more_pain"),
    "weak": _class("weak weakness weaker feeble dropping dropped drops no_strength no_power no_grip lost_strength lost_grip"),
    "painless": _class(
        "no_pain without_pain without_any_pain without_hurting not_hurt not_hurting not_sore not_painful painless pain_free"
        " not_because_it_hurts not_from_pain not_even_hurt no_hurt"
    ),
    "nearly": _class("nearly almost about_to felt feel feeling feels bit going_to thought_i_would came_close_to close_to"),
    "faints": _class(
        "faint fainted fainting fainty pass_out passed_out passing_out black_out blacked_out collapse collapsed keel_over"
    ),
    "dizzy": _class(
        "dizzy dizziness giddy lightheaded light_headed light_-_headed woozy headache headaches migraine faint"
        " seeing_stars saw_stars see_stars head_spinning head_was_spinning head_spins head_hurts head_pounding"
        " head_ache head_pounds head_thumping swimmy spots_before my_head_banging"
    ),
    "steroid": _class("steroid steroids cortisone hydrocortisone corticosteroid prp plasma platelet"),
    "jab": _class("injection injections jab jabs shot shots needle injected"),
    "thinner": _class(
        "blood_thinners blood_thinner thinners anticoagulant anticoagulants warfarin apixaban rivaroxaban edoxaban dabigatran"
        " heparin clopidogrel ticagrelor prasugrel"
    ),
    "felt": _class("felt heard feel hear loud big sudden was had"),
    "snap": _class(
        "pop snap tear rip ping popping twang crack popped snapped snapping ripping tearing pinged"
        " tore"
    ),
    "swell": _class("swollen swelling swelled swells swell puffy puffed ballooned swole"),
    "struck": _class(
        "hit banged bashed whacked knocked smashed bumped struck clattered trapped crushed caught slammed kicked punched clipped"
        " thumped stamped jammed squashed pinned walloped clouted thwacked smacked clonked bang bump whack bashing banging cracked"
    ),
    "fell": _class(
        "fell fall fallen falling tumbled tumble toppled topple stumbled skidded slid pitched flew flipped tripped slipped crashed"
        " wiped tumbling toppling skidding flying sprawled"
    ),
    "ground": _class(
        "ground floor deck concrete pavement tarmac patio kerb gravel grass road cobbles tiles ice path step steps stairs court"
    ),
    "vehicle": _class("car van lorry bus truck bike motorbike scooter taxi tram cyclist cab bicycle moped tractor trolley forklift"),
    "myself": _class("myself meself"),
    # emergencies
    "cough": _class(
        "cough coughed coughing coughs vomit vomited vomiting vomits puke puked puking spit spat spitting throwing threw throw"
        " bringing brought weeing peeing pooing pissing passing peed weed pooed sick"
    ),
    "concussed": _class(
        "sick vomiting vomited dizzy confused sleepy drowsy headache blurred blurry unconscious woozy remember forgetful spinning"
        " groggy seeing_stars throwing_up threw_up knocked_out blacked_out vomit foggy clear_fluid"
    ),
    "took": _class(
        "took taken take taking taked tooken swallowed swallow swallowing ate eaten drank drunk drink had have necked downed popped"
        " tuk tak consumed scoffed gobbled"
    ),
    "packet": _class(
        "packet packets box boxes bottle bottles strip strips pack packs blister blisters tub tin lot bag pot sheet"
    ),
    "other": _class(
        "husband wife mum mums mother dad dads father gran nan grandma grandad friend friends son daughter partner sister brother"
        " his her their someone neighbour dog somebody"
    ),
    "end": _class(". , ? ;"),
    # despair
    "dwell": _class(
        "think thinking thought thoughts imagine imagining imagined picturing picture pictured tempted urge urges want"
        " wanted could_just wanting fantasise fantasising feel_like felt_like feeling_like considering dreaming planning"
        " about"
    ),
    "leap": _class(
        "jump jumping walk walking step stepping drive driving throw throwing lie lying run running steer steering crash"
        " crashing swerve swerving leap leaping stand standing roll rolling fall falling drown lay laying wade wading"
    ),
    "deadly": _class(
        "train trains tube bridge roof lorry lorries bus truck traffic river sea canal tracks track rails railway wall"
        " tree motorway edge cliff platform ledge building balcony car reservoir weir harbour water cars"
    ),
    "goon": _class(
        "living live life anything any going_on go_on carrying carry carry_on keep keeping_going keep_going being_here"
        " being_alive being exist existing everything trying try any_more me_being it_all getting_up get_up"
    ),
    # things
    "set": _class("set sets hold holds round rounds exercise exercises lowerings goes lots bouts holding"),
    "seconds": _class("second seconds sec"),
    "unit": _class(
        "second seconds sec minute minutes min mins hour hours hr hrs day days night nights week weeks month months"
        " year years yr yrs fortnight rep reps repetition repetitions repeats repeat kg kgs kilo kilos kilogram"
        " kilograms lb lbs pound pounds gram grams ml litre litres oz stone mg mcg times o'clock oclock am pm degrees"
        " mile miles km kms metres steps pint pints beer beers coffee coffees cup cups glass glasses finger fingers"
        " people kids children floors flights stairs emails meetings quid messages points point sleeps cm mm inch"
        " puffs sprays sessions games lengths laps songs lifts curls squats pushups drinks meals years_old "
        + _PILLS
    ),
    "unitbefore": _class(
        "week weak day room bus age aged step stage phase session visit page channel line flight"
        " platform route road junction size number version chapter gate ward bay month year floor lane"
        " flat apartment house zone tram train aisle season episode series form grade"
    ),
    "pill": _class(_PILLS + " meds medication medicine diazepam sleeping_tablets sleeping_pills tab"),
    "object": _class(
        "cup cups mug mugs pen pan kettle anything things thing stuff everything plate plates phone"
        " handle door key keys bottle jar bag glass glasses objects fork forks spoon knife tray trays jars taps trowel dumbbell"
        " dumbell tea coffee lid hammer saucepan bowl bowls racket cutlery weight bow chisel milk iron tin tins jug pot pots briefcase suitcase laptop drill screwdriver scissors"
    ),
    "doing": _class(
        "gripping lifting typing working driving resting sitting rest work home gym sport tennis"
        " gardening cooking cleaning carrying hoovering lying stretching writing bed shopping"
        " housework desk moving sleeping painting playing grip activity use using"
    ),
    "treatment": _class(
        "injection injections steroid steroids cortisone jab shockwave acupuncture surgery operation"
        " massage ice heat brace strap strapping splint support tape taping physio physiotherapy"
        " cupping prp laser ultrasound mri scan xray needling tens cbd cream gel sling osteopath"
        " chiropractor supplements collagen turmeric antibiotics"
    ),
    "activity": _class(
        "swim run play lift drive carry cycle golf climb garden train work type exercise gym tennis"
        " lifting swimming running driving cycling training playing gardening climbing yoga badminton"
        " padel squash rowing weights"
    ),
    "treat": _class(
        "take use try get have wear ice heat massage stretch rest apply put see stop skip increase"
        " add change swap reduce double push continue carry_on keep do start go_back replace combine"
        " mix lower raise hold book"
    ),
    "clinician": _class(
        "gp doctor doc physio physiotherapist consultant surgeon chemist pharmacist nurse specialist"
    ),
    "disease": _class(
        "arthritis tendonitis tendinitis tendinopathy tear torn nerve fracture fractured infection"
        " gout rheumatoid bursitis carpal cancer serious ruptured broken permanent golfers"
        " trapped_nerve arthritic"
    ),
    # people and messages
    "relative": _class(
        "mum mom mother dad father wife husband son daughter brother sister friend mate neighbour"
        " neighbor colleague boss partner girlfriend boyfriend gran nan grandma grandad grandpa uncle"
        " aunt auntie cousin man woman lady customer patient someone somebody bloke stranger client"
        " passenger"
    ),
    "kin": _class(_KIN + " " + " ".join(f"{somebody}s" for somebody in _KIN.split())),
    "little": _class("baby newborn kids kid dog cat toddler neighbours twins puppy child"),
    "sends": _class(
        "messaging texting asking sending bothering contacting writing pinging prompting reminding"
        " nagging"
    ),
    "message": _class(
        "messages message texts reminders reminder prompts questions notifications bot service"
        " programme program chat check-ins app texting messaging subscription"
    ),
    "answer": _class(
        "answer answers number score reply rating response entry message pain sets numbers replies"
    ),
    "said": _class(
        "said put typed wrote sent entered told answered gave pressed tapped hit clicked texted"
        " replied selected chose picked"
    ),
    # comparing
    "more": _class("more less better worse higher lower up down fewer"),
    "usual": _class("yesterday before usual always normal ever last earlier previous"),
}
