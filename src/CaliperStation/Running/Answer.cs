using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Running;

/// <summary>A line answered at the plain bench or typed on the screen.</summary>
internal abstract record Answer
{
    private Answer()
    {
    }

    internal sealed record Press : Answer;

    internal sealed record Ok : Answer;

    internal sealed record Retake(string? Step) : Answer;

    internal sealed record Moved(IReadOnlyList<string> Items) : Answer;

    internal sealed record Aside(string Reason) : Answer;

    internal sealed record Sign(string Initials) : Answer;

    internal sealed record Stop : Answer;

    internal sealed record Typed(ParsedLength Length, string Raw) : Answer
    {
        /// <summary>The length as a reading, with the resolution of the rule it was read on.</summary>
        internal Reading Reading(DateTimeOffset at) => new(Length.Value, Length.Unit, TypedRule.Usual.ResolutionOf(Length), ReadingSource.Typed, at, Raw);
    }

    internal sealed record Unreadable(string Why) : Answer;

    /// <summary>The command an answer is by itself; null for one that needs the caliper, is a length, ends the work or is none.</summary>
    /// <param name="moved">The items that were moved when these are named.</param>
    internal SittingCommand? Command(Func<IReadOnlyList<string>, IReadOnlyList<string>> moved) => this switch
    {
        Ok => new SittingCommand.Confirm(),
        Retake retake => new SittingCommand.Retake(retake.Step),
        Moved named => new SittingCommand.Move(moved(named.Items)),
        Aside aside => new SittingCommand.Aside(aside.Reason),
        Sign sign => new SittingCommand.Sign(sign.Initials),
        _ => null,
    };

    /// <summary>The longest line that is read.</summary>
    internal const int LongestLine = 500;

    /// <summary>Reads a line; never throws.</summary>
    internal static Answer Of(string line, LengthUnit bareUnit)
    {
        string text = line.Trim();
        if (text.Length > LongestLine)
        {
            return new Unreadable($"the line is longer than {LongestLine} characters");
        }

        (string word, string rest) = Cut(text);
        return word.ToLowerInvariant() switch
        {
            "" => new Press(),
            "ok" when rest.Length == 0 => new Ok(),
            "stop" when rest.Length == 0 => new Stop(),
            "retake" => new Retake(rest.Length == 0 ? null : rest),
            "moved" => new Moved(rest.Split([' ', ',', '\t'], StringSplitOptions.RemoveEmptyEntries)),
            "aside" => new Aside(rest),
            "sign" => new Sign(rest),
            _ => OfLength(text, bareUnit),
        };
    }

    private static Answer OfLength(string text, LengthUnit bareUnit)
    {
        LengthParse parse = LengthText.Parse(text, bareUnit);
        return parse.IsLength
            ? new Typed(parse.Value, PrintableText.Escape(text))
            : new Unreadable(char.IsAsciiLetter(text[0])
                ? $"\"{PrintableText.Escape(text)}\" is no answer; say a length, an empty line to press, ok, retake, moved ITEM, aside REASON, sign INITIALS or stop"
                : $"\"{PrintableText.Escape(text)}\" at character {parse.Fault.Position + 1}: {parse.Fault.Message}");
    }

    private static (string Word, string Remainder) Cut(string text)
    {
        int blank = text.AsSpan().IndexOfAny(' ', '\t');
        return blank < 0 ? (text, "") : (text[..blank], text[blank..].Trim());
    }
}
