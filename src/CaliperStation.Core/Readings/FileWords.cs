using System.Globalization;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Readings;

/// <summary>The words and instants that journals, records and JSON are written with, and back.</summary>
public static class FileWords
{
    private const string InstantFormat = "yyyy-MM-dd'T'HH:mm:ss.fff'Z'";

    /// <summary>An instant: ISO 8601, UTC, to the millisecond.</summary>
    public static string Instant(DateTimeOffset at) => at.UtcDateTime.ToString(InstantFormat, CultureInfo.InvariantCulture);

    /// <summary>Bytes of an instant.</summary>
    public const int InstantLength = 24;

    /// <summary>The instant of bytes in that form. By hand: millions are read in a row, and the general parser takes most of the time.</summary>
    public static bool TryInstant(ReadOnlySpan<byte> text, out DateTimeOffset at)
    {
        at = default;
        if (text.Length != InstantLength || text[4] != '-' || text[7] != '-' || text[10] != 'T' || text[13] != ':' || text[16] != ':' || text[19] != '.' || text[23] != 'Z'
            || !Digits(text[..4], out int year) || !Digits(text[5..7], out int month) || !Digits(text[8..10], out int day)
            || !Digits(text[11..13], out int hour) || !Digits(text[14..16], out int minute) || !Digits(text[17..19], out int second) || !Digits(text[20..23], out int thousandth)
            || year < 1 || month is < 1 or > 12 || day < 1 || day > DateTime.DaysInMonth(year, month) || hour > 23 || minute > 59 || second > 59)
        {
            return false;
        }

        at = new DateTimeOffset(year, month, day, hour, minute, second, thousandth, TimeSpan.Zero);
        return true;
    }

    private static bool Digits(ReadOnlySpan<byte> text, out int number)
    {
        number = 0;
        foreach (byte digit in text)
        {
            if (digit is < (byte)'0' or > (byte)'9')
            {
                return false;
            }

            number = (number * 10) + digit - '0';
        }

        return true;
    }

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
