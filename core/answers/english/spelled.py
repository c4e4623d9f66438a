"""The words that carry meaning here and are worth recognising through a slip of the thumb."""

SPELLED = frozenset(
    """
    three four five seven eight nine eleven twelve twenty zero
    pain painful score level hurts hurting soreness aching elbow discomfort painless
    sets holds exercise exercises lowering rounds seconds minutes tablets kilos reps
    done finished completed complete managed everything every whole
    none nothing skipped missed forgot half most some almost nearly couple several
    yesterday today tonight morning afternoon evening usual usually average worst better worse before
    sorry meant actually mistake wrong wait change answer
    message messages messaging texting reminders unsubscribe stop pause holiday vacation programme cancel commands
    numb numbness tingling tingly tingles needles sensation feeling weak weakness weaker strength grip straighten
    locked locking swollen swelling swelled popped snapped fever temperature infected infection shivering
    fracture fractured broken dislocated injured injury tripped slipped fallen accident
    lump sweats weight nights sleep constant
    chest breath breathe breathing breathless pressure tight tightness heart attack stroke slurred slurring droop
    drooping drooped speech vision paralysed collapsed collapse fainted faint fainting unconscious seizure ambulance
    overdose overdosed whole packet swallowed
    strokes fitting choking hopeless suicide suicidal myself hopeless hopelessness cope coping living alive worthless depressed depression despair desperate
    overwhelmed anymore
    injection injections steroid cortisone surgery ibuprofen paracetamol painkiller painkillers physio doctor
    want living head vomiting bleeding should could without anything fingers finger hand thumb
    """.split()
)
