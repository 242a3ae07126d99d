using System.Globalization;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Readings;

/// <summary>The words and instants that journals, records and JSON are written with, and back.</summary>
public static class FileWords
{
    private const string InstantFormat = "yyyy-MM-dd'T'HH:mm:ss.fff'Z'";

    /// <summary>An instant: ISO 8601, UTC, to the millisecond.</summary>
    public static string Instant(DateTimeOffset at) => at.UtcDateTime.ToString(InstantFormat, CultureInfo.InvariantCulture);

    /// <summary>The instant of a text in that form.</summary>
    /// <exception cref="FormatException">It is not of that form.</exception>
    public static DateTimeOffset InstantOf(string text) =>
        DateTimeOffset.ParseExact(text, InstantFormat, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal);

    /// <summary>The word of a unit.</summary>
    public static string Of(LengthUnit unit) => unit switch
    {
        LengthUnit.Millimetre => "mm",
        LengthUnit.Inch => "in",
    };

    /// <summary>The word of a source.</summary>
    public static string Of(ReadingSource source) => source switch
    {
        ReadingSource.Typed => "typed",
        ReadingSource.Serial => "serial",
        ReadingSource.Keyboard => "keyboard",
        ReadingSource.Replay => "replay",
        ReadingSource.Emulated => "emulated",
    };

    /// <summary>The member that a word stands for, or null.</summary>
    public static T? Find<T>(string? word, Func<T, string> of)
        where T : struct, Enum
    {
        foreach (T member in Enum.GetValues<T>())
        {
            if (of(member) == word)
            {
                return member;
            }
        }

        return null;
    }

    /// <summary>The member that a word stands for.</summary>
    /// <exception cref="FormatException">None.</exception>
    public static T Back<T>(string word, Func<T, string> of)
        where T : struct, Enum => Find(word, of) ?? throw new FormatException(word);
}
