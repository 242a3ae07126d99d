using System.Globalization;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>An answer that may be chosen.</summary>
/// <param name="Answer">As it is typed.</param>
/// <param name="Words">What it means; empty where the answer says it.</param>
public sealed record FirstChoice(string Answer, string Words);

/// <summary>What a question is about.</summary>
public enum FirstAsk
{
    /// <summary>Whether to write over a file that is there.</summary>
    Replace,

    /// <summary>What the standard is called.</summary>
    Name,

    /// <summary>The unit of its rules.</summary>
    Unit,

    /// <summary>Its tolerance.</summary>
    Within,

    /// <summary>What is worn.</summary>
    Worn,

    /// <summary>What a thing sits by.</summary>
    Place,

    /// <summary>How far from it.</summary>
    Distance,

    /// <summary>Whether to keep what is there.</summary>
    Leave,
}

/// <summary>A question of the dialogue.</summary>
/// <param name="About">What it is about.</param>
/// <param name="Ask">Its words.</param>
/// <param name="Usual">What an empty answer stands for.</param>
/// <param name="Choices">What may be chosen; empty where the answer is typed.</param>
public sealed record FirstQuestion(FirstAsk About, string Ask, string Usual, IReadOnlyList<FirstChoice> Choices)
{
    /// <summary>True where several of the choices make one answer, with blanks between them.</summary>
    public bool TakesMany { get; init; }

    /// <summary>What is to be known before it is answered; or empty.</summary>
    public string Note { get; init; } = string.Empty;

    /// <summary>Why an answer cannot be taken, or null.</summary>
    public required Func<string, string?> FaultOf { get; init; }

    /// <summary>The dialogue once it is answered.</summary>
    public required Func<string, FirstDialogue> Then { get; init; }
}

/// <summary>How a dialogue ended.</summary>
public enum FirstEnd
{
    /// <summary>It goes on.</summary>
    Open,

    /// <summary>Its text is to be written.</summary>
    Write,

    /// <summary>It was left, and nothing is written.</summary>
    Left,

    /// <summary>A file is there and is to stay.</summary>
    Kept,
}

/// <summary>
/// The questions of <c>standard new</c>, one after the other: what a company wears, on what, how far. Lines and screen both drive it, so what is asked, offered and refused is the
/// same in both. A refused answer leaves it as it was.
/// </summary>
public sealed record FirstDialogue
{
    /// <summary>The words that begin it.</summary>
    public const string Opening = "A first standard, in a few questions. Sizes and distances that are offered are common ones, starting points only: your company's own rules decide.";

    /// <summary>The answer that takes the last one back.</summary>
    public const string BackWord = "back";

    /// <summary>The answer that leaves.</summary>
    public const string StopWord = "stop";

    private const string Keep = "keep", Drop = "drop", GoOn = "go on";
    private const int LongestName = 80;

    private FirstDialogue(string file, bool isThere) => (File, IsThere, MayReplace) = (file, isThere, isThere ? null : false);

    /// <summary>The file that is to be written.</summary>
    public string File { get; }

    private bool IsThere { get; }

    /// <summary>True to write over a file that is there; null until that is answered.</summary>
    public bool? MayReplace { get; private init; }

    /// <summary>What the standard is called; null until it is answered.</summary>
    public string? Name { get; private init; }

    /// <summary>The unit of its rules, or null.</summary>
    public string? Unit { get; private init; }

    /// <summary>Its tolerance as a standard writes it, or null.</summary>
    public string? Within { get; private init; }

    /// <summary>What is worn, or null.</summary>
    public IReadOnlyList<CommonThing>? Chosen { get; private init; }

    /// <summary>What is placed by now.</summary>
    public IReadOnlyList<WornThing> Worn { get; private init; } = [];

    private string? On { get; init; }

    private IReadOnlyList<string> Doubted { get; init; } = [];

    private FirstDialogue? Before { get; init; }

    private string Taken { get; init; } = string.Empty;

    private bool IsLeaving { get; init; }

    /// <summary>How it ended.</summary>
    public FirstEnd End { get; private init; }

    /// <summary>True once something was answered.</summary>
    public bool IsBegun => Before is not null;

    /// <summary>The dialogue at its first question.</summary>
    /// <param name="file">The file to write.</param>
    /// <param name="isThere">True when there is one already.</param>
    public static FirstDialogue Begin(string file, bool isThere) => new(file, isThere);

    /// <summary>The question that waits for an answer; null once it has ended.</summary>
    public FirstQuestion? Question =>
        End != FirstEnd.Open ? null
        : IsLeaving ? LeaveQuestion
        : MayReplace is null ? OneOf(FirstAsk.Replace, $"{PrintableText.Escape(File)} is there already. Write over it in the end?", "no", [new("no", "it stays as it is"), new("yes", "")], answer => answer == "yes" ? this with { MayReplace = true } : this with { End = FirstEnd.Kept })
        : Name is null ? Typed(FirstAsk.Name, "What is the standard called?", "Our company, dress blouse", NameFaultOf, text => this with { Name = text })
        : Unit is null ? OneOf(FirstAsk.Unit, "In which unit are your rules?", "in", [new("in", "inches"), new("mm", "millimetres"), new("t", "ticks of 1/32 in")], text => this with { Unit = text })
        : Within is null ? Typed(FirstAsk.Within, "How far off is still right, plus or minus?", "1/32 in", text => LengthFault(text) ?? TextFault(FirstStandard.LengthOf(text, Unit)!, [Trial]), text => this with { Within = FirstStandard.LengthOf(text, Unit) })
        : Chosen is null ? new FirstQuestion(FirstAsk.Worn, "What is worn?", "1 3", [.. CommonThing.All.Select((thing, at) => new FirstChoice(Number(at + 1), $"{(thing.BothSides ? thing.Name["left ".Length..] + "s" : thing.Name)}, {thing.Sized}*"))])
        {
            TakesMany = true,
            Note = "* a common size, a starting point",
            FaultOf = text => NumbersOf(text) is null ? $"One or more of them, by their numbers from 1 to {Number(CommonThing.All.Count)}, each once." : null,
            Then = text => this with { Chosen = [.. NumbersOf(text)!.Order().Select(number => CommonThing.All[number - 1])] },
        }
        : On is null ? PlaceQuestion(Chosen[Worn.Count])
        : DistanceQuestion(Chosen[Worn.Count], On);

    /// <summary>Takes an answer; an empty one stands for the usual, <c>back</c> takes the last answer back, <c>stop</c> leaves.</summary>
    /// <returns>The dialogue after it, and why it was refused, or null.</returns>
    public (FirstDialogue Next, string? Refusal) Take(string text)
    {
        if (Question is not { } question)
        {
            return (this, null);
        }

        string answer = text.Trim().Length == 0 ? question.Usual : text.Trim();
        if (answer == BackWord)
        {
            FirstDialogue back = Back();
            return (back, ReferenceEquals(back, this) ? "This is the first question." : null);
        }

        if (answer == StopWord)
        {
            return (Leave(), null);
        }

        if (question.FaultOf(answer) is { } fault)
        {
            return (On is null && Chosen is not null && !IsLeaving && !Doubted.Contains(answer) ? this with { Doubted = [.. Doubted, answer] } : this, fault);
        }

        FirstDialogue next = question.Then(answer);
        return (IsLeaving ? next : next with { Before = this, Taken = answer }, null);
    }

    /// <summary>One question back; at the first it stays. What was asked about leaving is left unanswered.</summary>
    public FirstDialogue Back() => IsLeaving ? this with { IsLeaving = false } : Before is { } before ? before with { Doubted = Doubted } : this;

    /// <summary>The answer that going back takes back; empty where there is none.</summary>
    public string Last => IsLeaving ? string.Empty : Taken;

    /// <summary>Leaves: what was begun asks first whether to keep what is there.</summary>
    public FirstDialogue Leave() => End != FirstEnd.Open || IsLeaving ? this : IsBegun ? this with { IsLeaving = true } : this with { End = FirstEnd.Left };

    /// <summary>The file's text; something is placed.</summary>
    public string Text() => FirstStandard.Text(Name!, Unit!, Within!, Worn);

    /// <summary>The coat as it is by now, with the item that is asked about at its common distance; null while there is none.</summary>
    public (Standard Coat, CommonThing? Asked)? Drawn()
    {
        CommonThing? asked = On is null || End != FirstEnd.Open ? null : Chosen![Worn.Count];
        IReadOnlyList<WornThing> worn = asked is null ? Worn : [.. Worn, new WornThing(asked, On!, asked.Distance)];
        return worn.Count > 0 && StandardText.Load(FirstStandard.Text("a coat", Unit!, "1/32 in", worn)).Standard is { } coat ? (coat, asked) : null;
    }

    private FirstQuestion LeaveQuestion => Worn.Count > 0
        ? OneOf(
            FirstAsk.Leave, $"Keep what is there, {Number(Worn.Count)} of {Number(Chosen!.Count)} things?", Keep, [new(Keep, "write what is there"), new(Drop, "write nothing"), new(GoOn, "with the questions")],
            answer => answer == GoOn ? Back() : this with { IsLeaving = false, End = answer == Keep ? FirstEnd.Write : FirstEnd.Left })
        : OneOf(
            FirstAsk.Leave, "Nothing is placed yet, so nothing can be kept. Leave?", Drop, [new(Drop, "write nothing"), new(GoOn, "with the questions")],
            answer => answer == GoOn ? Back() : this with { IsLeaving = false, End = FirstEnd.Left });

    private FirstQuestion PlaceQuestion(CommonThing thing) => new(FirstAsk.Place, $"{Capital(thing.Name)}: what does it sit by?", UsualPlace(thing), [.. UsualPlaces(thing).Select(place => new FirstChoice(place, ""))])
    {
        FaultOf = text => PlaceFault(thing, text) ?? Unusual(text),
        Then = text => this with { On = text },
    };

    private FirstQuestion DistanceQuestion(CommonThing thing, string on) => new(FirstAsk.Distance, $"{Capital(thing.Name)}: {string.Format(CultureInfo.InvariantCulture, thing.HowFar, on).ToLowerInvariant()}", thing.Distance, [])
    {
        Note = $"{thing.Distance} is common, a starting point",
        FaultOf = text => LengthFault(text) ?? TextFault(Within!, [.. Worn, new WornThing(thing, on, FirstStandard.LengthOf(text, Unit!)!)]),
        Then = text =>
        {
            WornThing[] worn = [.. Worn, new WornThing(thing, on, FirstStandard.LengthOf(text, Unit!)!)];
            return this with { Worn = worn, On = null, End = worn.Length == Chosen!.Count ? FirstEnd.Write : FirstEnd.Open };
        },
    };

    private static WornThing Trial => new(CommonThing.All[0], CommonThing.All[0].On, CommonThing.All[0].Distance);

    private static FirstQuestion Typed(FirstAsk about, string ask, string usual, Func<string, string?> faultOf, Func<string, FirstDialogue> then) => new(about, ask, usual, []) { FaultOf = faultOf, Then = then };

    private static FirstQuestion OneOf(FirstAsk about, string ask, string usual, IReadOnlyList<FirstChoice> choices, Func<string, FirstDialogue> then) => new(about, ask, usual, choices)
    {
        FaultOf = text => choices.Any(choice => choice.Answer == text) ? null : $"One of: {string.Join(", ", choices.Select(choice => choice.Answer))}.",
        Then = then,
    };

    private static string? NameFaultOf(string text) => text.Length > LongestName || PrintableText.Escape(text) != text ? $"Up to {Number(LongestName)} characters that can be printed." : null;

    private string? LengthFault(string text) => FirstStandard.LengthOf(text, Unit!) is null ? "A length above 0, such as 1/8, 3.5 mm or 4 t." : null;

    // What the reader of standards would say of the file; so it is said while it can be answered better.
    private string? TextFault(string within, IReadOnlyList<WornThing> worn) =>
        StandardText.Load(FirstStandard.Text("a coat", Unit!, within, worn)).Faults is [var fault, ..] ? $"{fault.Message}: {fault.Instead}." : null;

    // Without a rack a badge sits where the rack would.
    private string UsualPlace(CommonThing thing) =>
        Worn.Any(one => one.Thing.Name == thing.On) || !CommonThing.All.Any(other => other.Name == thing.On) ? thing.On : "left pocket";

    private IEnumerable<string> UsualPlaces(CommonThing thing) => new[] { UsualPlace(thing) }.Concat(Worn.Where(one => !one.Thing.BothSides).Select(one => one.Thing.Name)).Concat(["left pocket", "right pocket"])
        .Distinct().Where(place => PlaceFault(thing, place) is null);

    private string? PlaceFault(CommonThing thing, string on) =>
        FirstStandard.NameFault(on)
        ?? (on == thing.Name ? "It cannot sit by itself."
        : thing.BothSides && !on.Split(' ').Contains("left") ? "The place of the left one, with the word left: the right one is mirrored."
        : CommonThing.All.Any(other => other.Name == on) && !Worn.Any(one => one.Thing.Name == on) ? "That is not worn, or comes later."
        : thing.On.EndsWith("corner", StringComparison.Ordinal) && !on.EndsWith("corner", StringComparison.Ordinal) ? "A corner, such as \"left collar corner\"."
        : null);

    // A place that nobody named yet is asked about once: it may be a slip.
    private string? Unusual(string on)
    {
        string[] usual = [.. CommonThing.All.Select(thing => thing.On).Append("left pocket").Except(CommonThing.All.Select(thing => thing.Name)).Distinct()];
        return usual.Contains(on) || Worn.Any(one => one.Thing.Name == on) || Doubted.Contains(on) ? null
            : $"\"{PrintableText.Escape(on)}\" is no usual place: say it once more to name one of your own. Usual are: {string.Join(", ", usual)}.";
    }

    private static List<int>? NumbersOf(string text)
    {
        List<int> numbers = [];
        foreach (string part in text.Split([' ', ','], StringSplitOptions.RemoveEmptyEntries))
        {
            if (!int.TryParse(part, NumberStyles.None, CultureInfo.InvariantCulture, out int number) || number < 1 || number > CommonThing.All.Count || numbers.Contains(number))
            {
                return null;
            }

            numbers.Add(number);
        }

        return numbers.Count == 0 ? null : numbers;
    }

    private static string Number(int number) => number.ToString(CultureInfo.InvariantCulture);

    private static string Capital(string name) => char.ToUpperInvariant(name[0]) + name[1..];
}
