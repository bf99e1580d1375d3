"""A talk understood: from timed words to lines, slips, questions and a script.

The modules, by the stage they belong to. How the models were learned and measured stands in
`docs/hearing-models.md`.

Reading: what was said and when, and what its words may stand for.

- `transcript`: what was said and when, read from captions or text
- `recording`: the sound of a recording, whatever it came in
- `vocabulary`: what each word of a talk may stand for on a chessboard, with a price
- `sounds`: how words sound, and how near two sounds are
- `pronounce`: how the words of a chess talk are said, for the alignment library
- `phrases`: phrases of a talk that may be about moves, with what stands around them
- `said`: what a stretch of a talk says of a move, and how it says it
- `deeds`: moves told without their square
- `manners`: moves told by the manner in which a piece moves, with no square or with one named before
- `sparing`: moves told with hardly a word
- `listed_men`: men listed for a board
- `imagined`: what-if boards in a talk
- `heard_names`: names of openings as recognisers misspell them
- `sounding_names`: names of openings that a recogniser wrote as other words that sound like them
- `misheard`: words of the board that a recogniser wrote as others, wherever they stand
- `misheard_model`: which kind of word of the board was said where a word stands
- `needed_words`: words that a recogniser wrote for others that sound alike, known by the move they tell
- `repairs`: what a speaker puts right at once
- `taken_back`: what a speaker takes back before he goes on, and which is left out
- `fluency`: how well the words of a transcript follow each other, as a sign of a recogniser's errors

Weighing: what the words around a phrase say of it, and what tells no move of the line.

- `cues`: what the words around a phrase say about it
- `telling`: whether words tell a move made now, whether they go back and to which board
- `language`: what a model of English makes of the phrases of a talk
- `mentions`: moves that are only talked about
- `clauses`: clauses that name no move and may tell one
- `recaps`: what sums a talk up at its end
- `persons`: who gives a talk, and in which club
- `players`: the players of a game that a talk goes through, and which side each has
- `addressed`: pupils whom a teacher speaks to by name, in a talk that is written without capitals
- `usual`: what is usual in openings, for the search over a talk's readings

Searching: the reading of the whole that makes sense on the board.

- `decoder`: which reading of a whole talk makes sense on the board
- `heard`: a talk understood
- `record`: what a talk was heard to say
- `afterthoughts`: moves said wrong that only later words show
- `taken_up`: where the talk takes up its main line again with a move told there
- `retold`: where a talk tells its game once more from the first move
- `tries`: moves asked about in place of one told
- `warned`: moves that a talk warns of and then shows
- `asked_of_class`: what a teacher asks the class and answers with words, and which line it is
- `answered_moves`: moves a teacher has answered, and the kinds of lines
- `lines_left`: answered moves of lines that the talk has left
- `results`: how the game of a talk ended, where the talk plainly says so or the board shows it
- `titles`: what a talk without a heading is called

Mending: what the teacher answered or put right.

- `answers`: the teacher's answers to questions about a talk
- `answers_followed`: a talk heard with those of the answers that can be followed
- `written_answers`: the teacher's answers as they stand in the head of a script
- `mends`: what a teacher has mended in the transcript itself
- `doubts`: which doubts about a talk a teacher is asked

Slips: what was said and what stood on the board.

- `slips`: slips of the tongue in a talk that is understood
- `slip_sides`: slips whose meaning agrees with the side that is named
- `slips_of_place`: slips of where pieces stand and whose they are, in a talk that is understood
- `slips_of_file`: slips of the file in talk about pawns
- `slips_of_aim`: slips in what a piece is said to look at
- `naming`: what words name without moving it
- `scene`: the board that words speak of
- `aptness`: which name a teacher would say here, and where another was likely meant
- `meant`: what a slip means, in words
- `sureness`: how sure what was heard is

Writing: the script, the captions and what stands beside them.

- `writing`: what a heard talk is written out as
- `replacing`: which words of a talk a move's notation takes the place of in a script
- `capitals`: capital letters for the words of a recogniser that writes none, as a reader expects them
- `paragraphs`: where the sentences and the paragraphs of a heard talk end
- `as_played`: what is told as really played or as the main line, behind moves that are only supposed
- `excursions`: moves of a heard talk that are told in passing
- `read_first`: where a teacher should read first
- `align`: when each word was said
"""
