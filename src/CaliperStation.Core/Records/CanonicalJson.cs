using System.Globalization;
using System.Text;
using CaliperStation.Core.Readings;

namespace CaliperStation.Core.Records;

/// <summary>Writes JSON in the one form of RFC 8785 (JSON Canonicalization Scheme), so that everybody makes the same bytes of the same record.</summary>
/// <remarks>No white space; names in the order of their UTF-16 units, which the caller keeps and this checks; the shortest escapes; numbers as <see cref="CanonicalNumber"/>.</remarks>
internal sealed class CanonicalJson
{
    private readonly StringBuilder _text = new(4096);
    private readonly Stack<string?> _names = new();   // the last name of each open object; null in an array

    /// <summary>What was written.</summary>
    public byte[] ToBytes() => Encoding.UTF8.GetBytes(_text.ToString());

    public CanonicalJson Object(Action write)
    {
        Open('{', "");
        write();
        return Close('}');
    }

    public void Array<T>(IEnumerable<T> values, Action<T> write)
    {
        Open('[', null);
        foreach (T value in values)
        {
            Separate();
            write(value);
        }

        Close(']');
    }

    /// <summary>The name of the next value.</summary>
    /// <exception cref="InvalidOperationException">It does not come after the last one.</exception>
    public CanonicalJson Name(string name)
    {
        string before = _names.Pop() ?? throw new InvalidOperationException("An array has no names.");
        if (before.Length > 0 && string.CompareOrdinal(before, name) >= 0)
        {
            throw new InvalidOperationException($"\"{name}\" may not follow \"{before}\".");
        }

        _names.Push(name);
        Separate();
        Text(name);
        _text.Append(':');
        return this;
    }

    public void Number(double number) => _text.Append(CanonicalNumber.Of(number));

    public void Number(double? number)
    {
        if (number is { } value)
        {
            Number(value);
        }
        else
        {
            Null();
        }
    }

    /// <summary>A whole number, all digits: lengths keep every nanometre even beyond 2⁵³, where RFC 8785 would round.</summary>
    public void Whole(long number) => _text.Append(number.ToString(CultureInfo.InvariantCulture));

    public void Truth(bool value) => _text.Append(value ? "true" : "false");

    public void Null() => _text.Append("null");

    public void Instant(DateTimeOffset at) => Text(FileWords.Instant(at));

    public void Text(string? text)
    {
        if (text is null)
        {
            Null();
            return;
        }

        _text.Append('"');
        foreach (char c in text)
        {
            _ = c switch
            {
                '"' => _text.Append("\\\""),
                '\\' => _text.Append(@"\\"),
                '\b' => _text.Append("\\b"),
                '\t' => _text.Append("\\t"),
                '\n' => _text.Append("\\n"),
                '\f' => _text.Append("\\f"),
                '\r' => _text.Append("\\r"),
                < ' ' => _text.Append("\\u").Append(((int)c).ToString("x4", CultureInfo.InvariantCulture)),
                _ => _text.Append(c),
            };
        }

        _text.Append('"');
    }

    /// <summary>Text that is already in this form.</summary>
    public void Raw(ReadOnlySpan<byte> canonical) => _text.Append(Encoding.UTF8.GetString(canonical));

    private void Open(char bracket, string? name)
    {
        _text.Append(bracket);
        _names.Push(name);
    }

    private CanonicalJson Close(char bracket)
    {
        _names.Pop();
        _text.Append(bracket);
        return this;
    }

    private void Separate()
    {
        if (_text[^1] is not ('{' or '['))
        {
            _text.Append(',');
        }
    }
}
