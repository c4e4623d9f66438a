"""Figures of speech and everyday turns that only sound like despair."""

from core.answers.lexicon import phrases

MOOD = phrases(
    """
    want|considering|consider|thinking|thought|tempted|might|going|planning|plan|feel|could|urge|wanting ~~ overdose|od
    want|considering|thinking|thought|tempted|might|going|planning|plan|could|urge ~ take|taking|swallow|swallowing ~ all|whole|entire|every|too_many|load ~~ <pill>|<packet>
    nothing matters more ; no hope of a|an|the|my|any|winning|beating|catching ; crisis ~ meeting|averted|talks ; kitchen|work|office|mini|minor crisis
    tears at ~ film|wedding|advert|end ; baby|kids|kid|toddler|<little> ~~ sobbing|weeping|bawling|meltdown
    midlife|identity|energy|housing|bank crisis ; meltdown ~ over|in ~ shop|tesco|park
    end it there|at ; <cannot> go on the|a|my|holiday|strike|facebook ; carry on my|singing|camping|luggage|regardless|eating|with_the
    despair of|at ~ this|the|politicians|government|team|traffic ; desperate housewives|measures|for|dan ; depression in|over ~ sofa|atlantic|mattress|road|ground|cushion
    suicidal pigeon|pigeons|drivers|sheep|squirrels|squirrel ; i am broken after ; suicide sauce|wings|door|doors ; depressed the ~ clutch|button|pedal|key|brake|accelerator ; worthless ~ coins|shares|currency|junk ; will to ~ watch|cook|iron|clean|tidy|shop
    black hole ~ film|documentary|space ; rabbit hole
    hopeless at|with|romantic|cook|dancer|driver|singer|gardener|liar|speller|typist|golfer|player|shot|memory|referee|team
    i am|was ~ hopeless at|with ; useless at|with
    desperate for|to ~ wee|drink|coffee|holiday|loo|sleep|spring|summer|beer|bed|pee|food|weekend
    drowning|swamped|buried in|under ~ paperwork|emails|laundry|washing|work|marking|toys|boxes|admin|orders|homework|nappies|leaves|courgettes|tomatoes|
        parcels|dishes|reports|invoices|ironing|stuff|snow|plums|apples|receipts|forms ; no point going in|out|to|home|there
    flu|covid|tetanus|booster|dentist|vaccine|travel|shingles|vitamin|b12|allergy|blood|rabies|malaria ~ jab|injection|jabs|injections|shot|shots
    jab|injection|shot ~ for ~ flu|covid|tetanus|travel|shingles|holiday|holidays|tooth|filling ; pregnant pause
    wits|tether|wit_is ~ end ~ with ~ printer|puppy|boss|phone|wifi|kids|dog|computer|neighbours|council|traffic
    overwhelmed with|by work|emails|gratitude|joy|love|kindness|messages|support
    depressing ; great depression ; low pressure ; crying with|from laughter|laughing|onions
    crying over onions|spilt
    <little>|son|daughter|film|movie|onions|song|boy|girl ~ crying|cry|cried
    cried|cry|crying at ~ film|wedding|movie|advert
    low on|in|battery|fat|energy|carb|sugar|key|level|number|score ; battery|phone|fuel|petrol ~ low
    very|really|feeling|feel|felt|so ~ low pain|number|score|today|numbers|level|now
    giving|given|give up smoking|sugar|chocolate|drink|drinking|booze|alcohol|coffee|caffeine|meat|cake|sweets|wine|fags|golf|tennis|lent|bread
    i give up ~ on|with|trying|guessing ~ wifi|phone|printer|diet|football|telly|remembering|spelling|autocorrect|bus|it
    not|never|will_not giving|give up
    no point lying|pretending|complaining|moaning|rushing|asking|arguing|worrying|denying
    no point in lying|pretending|complaining|moaning|rushing|asking|arguing|worrying
    no hope of ~ getting|finding|winning|parking
    end of the day|week|month|shift|year|season
    cut|cutting myself ~ slack|shaving|piece|slice|some
    cut the|my|back|down|out|short|it|up|some|a ~ grass|hair|lawn|fringe|nails|hedge|bread|cake|veg
    top myself up
    <cannot> stand|bear|take|face|do ~ the|this|these|that|my noise|weather|rain|heat|cooking|neighbours|music|boss|traffic|smell|cold|washing
    <cannot> take|stand|bear|do|face ~ any more ~ tv|rain|adverts|work|meetings|sets|reps|holds|today|tonight|exercises|cake|food
    <cannot> do any|much more sets|reps|holds|today|tonight|tonight ; could not do|manage any more
    <cannot> do more ; did not do any more
    <cannot> wait|complain|believe|grumble|go_wrong ; <cannot> go ~ on ~ holiday|<day>|trip|date
    <cannot> stop ~ eating|laughing|singing|smiling
    <cannot> cope with|without ~ heat|weather|noise|coffee|tech|technology|apps|phones|traffic|cold|tea|chocolate|football|autocorrect
    <cannot> face ~ it|them|cooking|washing|work|ironing|dishes|exercises|dinner|sets today|tonight|now?
    <cannot> face the|my? exercises|sets|dishes|washing|ironing
    dark outside|chocolate|already|early|nights|evenings|mornings|when|out|here
    all alone in|at|home|house|office
    suicide squad|bomber|wing|prevention|awareness|mission|squeeze
    suicide ~ film|book|programme|drama|documentary|training
    self harm training|course|leaflet
    overdose|overdosed|overdosing of|on ~ chocolate|sugar|cake|tv|coffee|cheese|christmas|turkey|sun|sunshine|football|caffeine|telly
    too many|much ~ biscuits|cakes|beers|drinks|emails|meetings|cake|coffees|wine|work|chocolate|cookies
    whole|entire|full packet|box|bottle|bag|pack|tin|tub of ~ biscuits|crisps|chocolate|chocolates|wine|sweets|cookies|tissues|doughnuts|beer|cakes
    
    dose of reality|luck|sunshine|cold
    car|van|bus|train|boiler|lift|washing ~ breakdown|broke|broken ~ down?
    breakdown truck|cover|recovery|service|of
    feel|feeling|felt ~ broken|empty ~ gym|run|shift|legs|leg_day|lunch|marathon
    empty house|fridge|stomach|handed|nest
    trapped in|at ~ office|work|meeting|house|lift|traffic ; not|it_is a burden ; burden of proof
    lost without my|you|it|them|the|phone|glasses
    lost my|the mind ~ waiting|over|kids|printer|phone ; losing my mind ~ with|over|waiting|kids|noise
    lost my? way ; lost|lose at|to ~ tennis|golf|chess
    panic attack ~ film|exam ; had enough of ~ winter|rain|snow|work|meetings|this_weather|the_news
    had enough tea|coffee|dinner|sleep|food ; jump|jumped off|in ~ bed|bus|sofa|shower|car|pool
    life ~ over ~ easy
    hate my life ~ lol|haha|football
    printer|traffic|bus|buses|weather|phone|wifi|internet|referee|laptop|computer|trains|broadband is|are|was|were hopeless
    """
)
