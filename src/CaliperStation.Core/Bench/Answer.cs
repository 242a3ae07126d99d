namespace CaliperStation.Core.Bench;

/// <summary>What a person says at the bench, by a line or by a key.</summary>
public abstract record Answer
{
    private Answer()
    {
    }

    /// <summary>The longest line that is read.</summary>
    public const int MaxLineLength = 500;

    /// <summary>A readiness line holds.</summary>
    public sealed record Ok : Answer;

    /// <summary>Yes to what is asked: a reading that looks odd is meant, this is the same coat.</summary>
    public sealed record Yes : Answer;

    /// <summary>No to what is asked: to a look, to an odd reading.</summary>
    public sealed record No : Answer;

    /// <summary>What was done last is taken back: a reading, a confirmation, a pin, an offered reason.</summary>
    public sealed record Undo : Answer;

    /// <summary>Take the last reading again, or that of the step named.</summary>
    public sealed record Retake(string? Step) : Answer;

    /// <summary>These items were moved; none named: the advised ones.</summary>
    public sealed record Moved(IReadOnlyList<string> Items) : Answer
    {
        /// <inheritdoc />
        public bool Equals(Moved? other) => other is not null && Items.SequenceEqual(other.Items);

        /// <inheritdoc />
        public override int GetHashCode() => Items.Count;
    }

    /// <summary>Go on though something is not within.</summary>
    public sealed record Aside(string Reason) : Answer;

    /// <summary>Sign and close.</summary>
    public sealed record Sign(string Initials) : Answer;

    /// <summary>Another hand measures from here on.</summary>
    public sealed record Hand(string Initials) : Answer;

    /// <summary>The tag is wrong: it is this one.</summary>
    public sealed record Tag(string Corrected, string Reason) : Answer;

    /// <summary>Give the sitting up.</summary>
    public sealed record Abandon(string Reason) : Answer;

    /// <summary>Leave; resume later.</summary>
    public sealed record Stop : Answer;

    /// <summary>A length, or what should be one.</summary>
    public sealed record Number(string Text) : Answer;

    /// <summary>A word that may be initials where a signature is wanted.</summary>
    public sealed record Word(string Text) : Answer;

    /// <summary>Words that are no answer.</summary>
    public sealed record Unknown(string Text) : Answer;

    /// <summary>A line longer than <see cref="MaxLineLength"/>.</summary>
    public sealed record TooLong : Answer;

    /// <summary>Every word that is answered; lines are read by this list, and help is made of it.</summary>
    public static IReadOnlyList<AnswerWord> Words { get; } =
    [
        new(Act.Yes, "yes", "", _ => new Yes()),
        new(Act.Yes, "ok", "", _ => new Ok()),
        new(Act.No, "no", "", _ => new No()),
        new(Act.Undo, "undo", "", _ => new Undo()),
        new(Act.Retake, "retake", "[STEP]", rest => new Retake(rest.Length == 0 ? null : rest)),
        new(Act.Moved, "moved", "[ITEM]", rest => new Moved(rest.Split([' ', ',', '\t'], StringSplitOptions.RemoveEmptyEntries))),
        new(Act.Aside, "aside", "REASON", rest => new Aside(rest)),
        new(Act.Sign, "sign", "INITIALS", rest => new Sign(rest)),
        new(Act.Hand, "hand", "INITIALS", rest => new Hand(rest)),
        new(Act.Tag, "tag", "NEW REASON", rest => Cut(rest) is var (tag, reason) ? new Tag(tag, reason) : throw new System.Diagnostics.UnreachableException()),
        new(Act.Abandon, "abandon", "REASON", rest => new Abandon(rest)),
        new(Act.Stop, "stop", "", _ => new Stop()),
    ];

    /// <summary>Reads a line that is not empty; never throws.</summary>
    public static Answer Of(string line)
    {
        string text = line.Trim();
        if (text.Length > MaxLineLength)
        {
            return new TooLong();
        }

        (string word, string rest) = Cut(text);
        return Words.FirstOrDefault(known => known.Word.Equals(word, StringComparison.OrdinalIgnoreCase)) is { } known && (known.Takes.Length > 0 || rest.Length == 0) ? known.Of(rest)
            : text.Length > 0 && char.IsAsciiLetter(text[0]) ? rest.Length == 0 ? new Word(text) : new Unknown(text)
            : new Number(text);
    }

    private static (string Word, string Remainder) Cut(string text)
    {
        int blank = text.AsSpan().IndexOfAny(' ', '\t');
        return blank < 0 ? (text, "") : (text[..blank], text[blank..].Trim());
    }
}

/// <summary>A word that is answered.</summary>
/// <param name="Act">What it does.</param>
/// <param name="Word">The word.</param>
/// <param name="Takes">What follows it; empty for nothing, in brackets where it may be left out.</param>
/// <param name="Of">The answer of what follows it.</param>
public sealed record AnswerWord(Act Act, string Word, string Takes, Func<string, Answer> Of);
