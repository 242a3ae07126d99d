using System.Globalization;
using System.Text.RegularExpressions;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>What the bench says aloud: short, in the trade's words, first what happened, then what is next. Figures are words.</summary>
public static partial class SpeechText
{
    private static readonly string[] _small =
    [
        "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen",
        "seventeen", "eighteen", "nineteen",
    ];

    private static readonly string[] _tens = ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

    /// <summary>One line of plain words for what was told at one time; empty when there is nothing to say.</summary>
    /// <param name="told">In its order.</param>
    /// <param name="show">The bench's unit.</param>
    public static string Of(IReadOnlyList<Said> told, LengthDisplay show)
    {
        List<string> parts = [];
        foreach (Said said in told)
        {
            string words = said is Said.Judged && told.OfType<Said.Judged>().Last() != said ? "" : Words(said, told, show);
            if (words.Length > 0)
            {
                parts.Add(words.TrimEnd('.'));
            }
        }

        return PrintableText.Escape(string.Join(". ", parts.Distinct()));
    }

    /// <summary>Figures and units of a text as words: <c>16½ t</c> is "sixteen and a half ticks".</summary>
    public static string Spoken(string text) => Figure().Replace(text, found =>
    {
        string whole = found.Groups["whole"].Value;
        string unit = found.Groups["unit"].Value;
        string number = string.Concat(
            found.Groups["minus"].Success ? "minus " : "",
            whole.Length > 0 ? Whole(whole) : "",
            found.Groups["point"].Value is { Length: > 0 } point ? $" point{string.Concat(point.Select(digit => " " + _small[digit - '0']))}" : "",
            found.Groups["half"].Success ? whole.Length > 0 ? " and a half" : "a half" : "",
            found.Groups["top"].Value is { Length: > 0 } top ? (whole.Length > 0 ? " and " : "") + Fraction(top, found.Groups["bottom"].Value) : "");
        bool isOne = number is "one" or "a half";
        return number + unit switch
        {
            "t" => isOne ? " tick" : " ticks",
            "in" => isOne || found.Groups["top"].Success && whole.Length == 0 ? " inch" : " inches",
            "mm" => isOne ? " millimetre" : " millimetres",
            "mrad" => " milliradians",
            _ => "",
        };
    });

    private static string Words(Said said, IReadOnlyList<Said> told, LengthDisplay show) => said switch
    {
        Said.Asked asked => Next(asked.Want),
        Said.Questioned { Question: var question } => $"{question.Ask} {string.Join(", or ", question.Answers)}",
        Said.Took took => Spoken(LengthFormat.Show(took.Reading.Value, show)),
        Said.Judged => Verdicts([.. told.OfType<Said.Judged>().Select(judged => judged.Judgement)], show),
        Said.Remarked remarked => remarked.Words,
        Said.PinMoved { IsTakenBack: true } => "not moved",
        Said.PinMoved moved => moved.Pin.At < moved.Pin.Of ? "moved" : "",   // after the last pin the item was moved, and that is said
        Said.Moved => "moved",
        Said.NotSo => "not so",
        Said.TimeIsOver over => $"the time is over: {over.Look.Ask}",
        Said.Withdrawn or Said.Unconfirmed => "again",
        Said.SetAside => "set aside",
        Said.Refused refused => FirstSentence(refused.Why),
        Said.HoldStill => "hold still",
        Said.Warned warned => $"{Spoken(LengthFormat.Show(warned.Reading.Value, show))}? {FirstSentence(warned.Warning.Words)}",
        Said.Lost => "caliper lost",
        Said.Back { Again: true } => "caliper back",
        Said.Noted { Kind: NoteKind.CellLow } => "the caliper's cell is low",
        Said.Diagnosed { Words: { } words } => words,
        Said.Practice => "practice: pretended readings",
        Said.Resumed resumed => $"{resumed.Resume.Tag} goes on",
        Said.HandIs hand => $"{hand.Hand} measures",
        Said.TagIs tag => $"this is {tag.Tag}",
        Said.Abandoned => "given up",
        Said.Compared { Comparison: { Agrees: false } comparison } compared => $"{compared.Standard.StepName(comparison.Step)} differs",
        Said.Kept => "taken",
        Said.StudyDone => "all is read",
        Said.Checked point => point.IsWithin ? "within" : "outside",
        Said.CheckDone done => done.Check.IsWithin ? "the caliper is good" : "the caliper is not good",
        Said.Closed closed => closed.Record.IsVerified ? "filed, verified" : closed.IsPractice ? "filed, for practice" : closed.Record.Kind == Records.RecordKind.Sitting ? "filed, not verified" : "filed",
        _ => "",
    };

    private static string Next(Want want)
    {
        if (want.SameCoat is { } resume)
        {
            return $"{resume.Tag}: is this the same coat?";
        }

        return want.Prompt switch
        {
            _ when want.Warning is not null => "Is it meant?",
            Prompt.See { IsNot: true } not => $"set it right: {not.Look.Ask}",
            Prompt.See look => BenchText.LookAsk(look, want.Left),
            Prompt.Read when want.Block is { } block => $"{(block.Place == CheckPlace.Near ? "" : CheckWords.Of(block.Place) + ", ")}block {Spoken(LengthFormat.ShowExact(block.Block))}",
            Prompt.Read { Again: not null } read => $"once more: {read.Step.Name}",
            Prompt.Read read => read.Step.Name,
            Prompt.Decide when want.Reason is { } reason => $"set aside: {reason}?",
            Prompt.Decide when want.Pin is { } pin => $"{Standard.WordsOf(pin.Item)}, {Spoken(NoUnit().Replace(pin.Move.Words.Replace(":", ",", StringComparison.Ordinal), "$1"))}",
            Prompt.Decide => "measure again, or set aside",
            Prompt.Sign => "all is read: sign",
            _ => "",
        };
    }

    private static string Verdicts(IReadOnlyList<Judgement> judged, LengthDisplay show)
    {
        Judgement worst = judged.MaxBy(judgement => (judgement.Verdict, -judgement.Conformance))!;
        string name = Standard.WordsOf(worst.Relation.Id);
        return worst.Verdict switch
        {
            Verdict.Within => "within",
            Verdict.Borderline => $"borderline, {name}",
            _ when worst.Dimension == Dimension.Length && Beyond(worst) is var (by, word) => $"outside, {name}, {Spoken(NoUnit().Replace(LengthFormat.Show(by, show), "$1"))} {word}",
            _ => $"outside, {name}",
        };
    }

    /// <summary>How far beyond which limit; null inside them.</summary>
    private static (Length By, string Word)? Beyond(Judgement judged) =>
        judged.Upper is { } upper && judged.Value > upper ? (Length.FromNanometres(judged.Value - upper, Rounding.HalfEven), "over")
        : judged.Lower is { } lower && judged.Value < lower ? (Length.FromNanometres(lower - judged.Value, Rounding.HalfEven), judged.Upper == -lower ? "over" : "under")
        : null;

    private static string FirstSentence(string words) => words.Split(". ")[0];

    private static string Whole(string digits)
    {
        if (!int.TryParse(digits, NumberStyles.None, CultureInfo.InvariantCulture, out int number) || number > 999)
        {
            return digits;
        }

        string hundreds = number >= 100 ? $"{_small[number / 100]} hundred" : "";
        int rest = number % 100;
        return hundreds.Length > 0 && rest == 0 ? hundreds : $"{hundreds}{(hundreds.Length > 0 ? " " : "")}{Below100(rest)}";
    }

    private static string Below100(int number) => number < 20 ? _small[number] : number % 10 == 0 ? _tens[number / 10] : $"{_tens[number / 10]}-{_small[number % 10]}";

    private static string Fraction(string top, string bottom)
    {
        string part = bottom switch
        {
            "2" => "half",
            "4" => "quarter",
            "8" => "eighth",
            "16" => "sixteenth",
            "32" => "thirty-second",
            "64" => "sixty-fourth",
            _ => $"over {Whole(bottom)}",
        };
        return $"{Whole(top)} {part}{(top == "1" || part.StartsWith("over", StringComparison.Ordinal) ? "" : "s")}";
    }

    [GeneratedRegex(@"(?<![\w.-])(?<minus>[-−])?(?:(?<top>\d+)/(?<bottom>\d+)|(?<whole>\d+)(?:\.(?<point>\d+)|(?<half>½)|[ -](?<top>\d+)/(?<bottom>\d+))?|(?<half>½))(?: ?(?<unit>t|in|mm|mrad)\b)?", RegexOptions.CultureInvariant)]
    private static partial Regex Figure();

    [GeneratedRegex(@"([\d½]) ?t\b", RegexOptions.CultureInvariant)]
    private static partial Regex NoUnit();
}
