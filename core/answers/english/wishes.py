"""How people ask for something about the messages in English, as against about sets or pain."""

from core.answers.lexicon import Phrases
from core.model import Wish

_STOP: Phrases = (
    "stop|quit|cease ~ messaging|texting|asking|sending|bothering|contacting|writing|pinging|prompting|reminding|nagging|pestering ~ me?",
    "stop ~ messages|texts|reminders|prompts|questions|check-ins|notifications|bot|service|programme|program|chat",
    "stop this|these|them please|now|altogether|bot|thing|service", "unsubscribe", "unsubscribed", "opt out", "opting out", "leave me alone",
    "leave me be", "go away", "quit|leave|exit|end|cancel|stop|drop|withdraw|withdrawing|leaving|quitting ~ this|the|my|from ~ programme|program|study|service|subscription|scheme|course|bot|chat|plan",
    "want|like|wish|going|decided to stop|quit|leave|withdraw|cancel ~ messages|altogether|programme|program|this|it|please|now|using|taking",
    "want to stop|quit|leave|cancel|withdraw", "no more messages|texts|reminders|questions|prompts|notifications|check-ins",
    "do|will not message|text|contact|write|ask|remind|send|bother ~ me|this|any|again|messages|anything", "not want ~ messages|texts|reminders|questions|prompts|messaged|texted|bot|these|this ~ any?",
    "not want to do|be this|part|in ~ programme|program|anymore|more|study", "remove|delete|take|get me|my ~ off|from|list|account|number|data|out|details|profile",
    "remove me", "delete my|me ~ account|data|number|details|profile", "i am out", "want out", "i quit", "sign me off|out", "count me out", "cancel my subscription|account|programme|reminders|messages",
    "cancel the|these messages|reminders|programme|program", "cancel everything|this|it", "done with this|the|these ~ bot|programme|program|messages|app|thing|service",
    "not interested any|anymore|in", "finish|finished with ~ programme|program|bot|service", "end ~ subscription|messages", "please stop", "stop please", "stop it please|now", "not need ~ messages|reminders|this|you ~ any|anymore",
    "turn|switch ~ off ~ messages|reminders|notifications|this|bot|prompts|it", "deactivate", "shut up", "stop all messages|texts|this", "i no longer want|wish|need ~ messages|this|programme|to",
    "no longer want|wish|need ~ messages|take|part|continue|be|programme|program|this", "block you|this", "never message|text|contact me", "get lost", "bugger off", "piss off", "lose my number",
)  # fmt: skip
_PAUSE: Phrases = (
    "pause ~ messages|texts|reminders|programme|program|check-ins|this|it|me|everything|please|prompts|questions|until|till|for|now|everything|us|things",
    "please pause", "want|need|like|can|could|to we|i|you|to pause", "put ~~ on hold", "no|skip messages|texts|reminders|questions|check-ins|prompts ~ next|this|tomorrow week|weekend|month?", "put on pause", "on pause", "going|off|go|flying|away on|to ~ holiday|vacation|holidays|hols|honeymoon|trip|leave",
    "on|going holiday|vacation|leave|holidays ~ until|till|next|from|for|tomorrow|this|back|so|#", "holiday|vacation ~~ until|till|from|next|tomorrow|starts|back", "off on ~ holiday|holidays|vacation|trip",
    "away ~ until|till|next|from|for|tomorrow|this|on|with|all|over|#|at ~", "i|we|be|am|are|will|going away", "back ~ on|in|next|after <day>|week|#|month|a|two|the|fortnight|weeks|<month>", "back <day>", "take|taking|have|having|need|want a ~ break ~ from|for|until|till|week|please|messages",
    "a break from ~ messages|reminders|this|it|you|programme|program|texts", "snooze", "no|skip|stop|hold|suspend|do not ~~ messages|texts|message|text|reminders|ask|send|me|programme|asking|messaging|texting|sending ~~ until|till", "no|skip|stop|hold|suspend|do not ~~ messages|texts|message|text|reminders|ask|send|me|programme|asking|messaging|texting|sending ~~ for ~ day|days|week|weeks|month|fortnight|while|bit|now|weekend|moment|#",
    "skip|hold|stop ~ messages|reminders|texts|me|questions ~ this|next|tomorrow ~ week|weekend?", "do not|stop|no ~ message|text|ask|messages|texts|send|messaging|texting ~~ this|next week|weekend|month", "hold|suspend ~ messages|reminders|texts|off|programme|program|asking ~ until|till|for|while|please|now?", "suspend", "in hospital|surgery|spain|france next|from|tomorrow|until|till",
    "resume ~ on|in|next|after <day>|week|#|month|a|two", "start again ~ on|in|next|after <day>|week|#|month|a|two", "pick up|this ~ again ~ on|next|in <day>|week|month|#", "talk|speak|message|ask|text|remind|contact ~ me|to|you? ~ again ~ on|in|next|after|when ~ <day>|week|month|back|#|holiday", "not available|around|here|home ~ until|till|next|for|from|this|tomorrow", "not be available|around|here|home|able ~ until|till|next|for|from|this|tomorrow",
    "will not|can not be|reply|answer|respond|have|do ~~ until|till|next|for|from|signal|internet ~ week|weeks|<day>|days|#|month|fortnight|monday?", "got|have|down ~ flu|covid|cold|bug|norovirus ~~ pause|break|stop|later|week|resume|until|till", "ill|sick|poorly|unwell ~~ pause|break|until|till|resume|week", "out of office|town|country ~ until|till|next|for|from", "give me a ~ week|days|break|fortnight ~ off?", "give it a rest for", "wait until|till ~ <day>|back|week|after",
    "leave|give me|it ~ until|till|for ~ <day>|week|month|bit|while|days|weeks|fortnight", "leave me alone until|till|for", "stop ~~ messages|messaging|texting|asking|sending ~~ until|till|for ~ <day>|week|month|bit|while|days|weeks|fortnight|back", "mute ~ for|until|till|me|this|messages", "camping ~ until|till|for|next", "no signal ~ until|till|for|next|this|week", "time off|out ~ from|for|until|till ~ messages|this|programme|week", "wedding|funeral ~ pause",
    "in surgery|hospital ~ next week", "stop for ~ week|now|bit|while|days|few|couple|fortnight|month|weekend|holiday|holidays|christmas",
)  # fmt: skip
_HELP: Phrases = (
    "how does|do this|it|the ~ work|go", "what do|should|can|must|am i ~ do|say|type|write|send|answer|reply|put|press|supposed|need|tap|enter|text", "what do i do", "what now", "how do|should|can i ~~ do|use|answer|reply|work|send|change|see|do|record|log|report|enter|type|start|fill|get|rate|score|count|know|perform|hold ~ this|it|the|them|my|exercise|exercises|holds|sets|hold|pain|you|these|those|lowering|time|evening|reminder?",
    "do not understand|get", "not understand|sure|know what|how ~ to|you|i|do|mean|this|works", "what do you|they mean|want|need", "what does ~ mean|this|that", "what is this|it|that|the|a|my|today's|tomorrow's|todays ~ for|about|question|exercise|exercises|hold|number|scale|set|dose|plan|programme|mean|isometric|tonight|today|eccentric|lowering", "what are|is ~ exercises|exercise|commands|options|instructions|sets|you|today's|tonight's|question|dose|plan", "which exercise|exercises|one|hold ~ today|do|now|tonight|is|am|i|should",
    "need|want|some|any|get|more|please help", "help please|me|with|needed|i", "can|could you|someone help", "instructions", "instruction", "commands", "explain", "confused ~ about|by|what|how|this|with|the", "i am confused", "who are|is you|this", "are you a|real|human|bot|there|person", "remind me how|what|of", "show|tell|send|give me ~ how|the|what|my|exercise|exercises|instructions|again|commands|today's|menu|options|video|picture", "what was|is the ~ question|exercise|dose|plan|scale|number",
    "what question", "what numbers|number ~ mean|do|should|you", "what should|do i count|answer|do ~ here|now|next|today|tonight|if?", "what does the ~ mean", "how ~ exercise|exercises|holds|hold ~ done|work", "is this|that the ~ right|bot|number", "how many sets ~ do|should|am|today|is|are|was|it|tonight", "how many ~ sets|holds ~~ today|tonight|do|should|supposed", "how long|many seconds ~ hold|should|each|do|for|is", "how many reps|seconds", "not working", "does not work", "can not find|see ~ button|buttons|exercise|menu", "no buttons",
    "what time ~ message|ask|reminder|do", "where is|are|do|can i?", "huh",
)  # fmt: skip
_CORRECT: Phrases = (
    "change|correct|fix|edit|amend|update|alter|redo|replace|undo ~ my|the|an|that|last|previous|earlier|what|yesterday's ~ answer|answers|number|score|reply|rating|response|entry|message|said|pain|sets|yesterday|put|it", "change what i ~ said|put|sent|wrote|entered|told", "wrong number|answer|button|one|score|thing|rating|key|digit|figure ~ before|earlier|sorry|pressed|tapped|sent|put|hit|typed?", "put|pressed|typed|hit|tapped|sent|entered|gave|wrote|said|clicked ~ the|a? wrong",
    "put|said|pressed|typed|hit|tapped|sent|entered|gave|wrote|clicked ~ by mistake|accident|error", "made a mistake|typo|error ~ earlier|before|answer|with|in|sorry|on|just|there|last|my?", "ignore|forget|scrap|scratch|disregard|delete|cancel ~ last|that|previous|my|earlier|first|what ~ message|one|answer|number|text|reply|said|bit|last|entry", "that was|is ~ wrong|mistake|typo|incorrect|error", "my ~ answer|number|score|reply|message|entry|pain|sets|rating|last ~ was|is wrong|incorrect|mistake|not", "mistake in|with my", "earlier|last|previous ~ answer|number|reply|message ~ wrong|mistake|incorrect",
    "meant to ~ say|put|write|type|be|send|press|answer|tap", "correction", "typo", "mistyped", "fat fingers|finger|fingered", "can|could|may|need|want|like ~ i? to? ~ change|correct|edit|amend|undo ~ it|that|my|answer|answers|number|last|what|yesterday", "undo", "not what i meant", "let me correct|change ~ that|it|my", "correct ~ that|it|my to|answer",
)  # fmt: skip

WISHES: dict[Wish, Phrases] = {Wish.STOP: _STOP, Wish.PAUSE: _PAUSE, Wish.HELP: _HELP, Wish.CORRECT: _CORRECT}

BARE_WISHES: dict[str, Wish] = {
    **dict.fromkeys(("stop", "stopp", "unsubscribe", "quit", "cancel", "end", "exit", "stop all", "stop it", "stop this", "leave", "opt out", "stop stop", "stop messages"), Wish.STOP),
    **dict.fromkeys(("pause", "pause it", "snooze", "away", "on holiday", "holiday", "going away", "pause this", "vacation", "break", "a break", "on vacation", "pause messages", "i am away", "i am on holiday"), Wish.PAUSE),
    **dict.fromkeys(("help", "?", "what", "what ?", "help ?", "info", "menu", "how", "how ?", "instructions", "huh ?", "eh ?", "help help", "commands", "what is this ?", "why ?", "start", "options", "which one ?", "pardon ?", "sorry ?", "explain"), Wish.HELP),
    **dict.fromkeys(("change", "change answer", "change my answer", "wrong", "undo", "oops", "whoops", "correct", "correction", "edit", "wrong number", "typo", "mistake", "oops wrong", "change it"), Wish.CORRECT),
}  # fmt: skip
POLITE = frozenset("please now thanks thank you ! . , ok just hi hello bot hey sorry pls the a".split()) - {"sorry", "a", "the"}
