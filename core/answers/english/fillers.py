"""Words that carry nothing by themselves: what was said with them alone is not kept as unread."""

FILLERS = frozenset(
    """
    a an the this that these those it its i me my mine myself we us our he she him her his they them their you your
    and or but so then also too as than because though although if while with without of to in on at by for from into
    over up down out off about around after before until till since during through
    am is are was were be been being do does did done have has had having will would can could shall should may might
    there here now just still yet again today tonight tonite this evening really very quite pretty rather bit little some
    well och anyway like ok okay oh ah um er hm hmm ha haha lol tbh btw fyi yes no not
    hello hi hey dear morning afternoon good thanks thank cheers ta please sorry love mate doc bye night x xx xxx
    get got go went going come came one s t d m ll re ve p say said guess think suppose
    """.split()
)
