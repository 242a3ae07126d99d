using System.Numerics;
using CaliperStation.Core.Frames;

namespace CaliperStation.Devices;

/// <summary>Says in words what is wrong with a line, from what came over it.</summary>
/// <remarks>
/// It only guesses what a person should try; it never changes a setting or a value. Bytes come from the caliper's task,
/// opinions are asked for on another.
/// </remarks>
internal sealed class LineDoctor
{
    // Fewer bytes than a line or two say nothing sure.
    private const int EnoughBytes = 40;
    private static readonly TimeSpan _patience = TimeSpan.FromSeconds(3);

    private readonly Lock _gate = new();
    private long _bytes;
    private long _text;
    private long _high;
    private long _evenParity;
    private long _oddParity;
    private long _textBelowBit8;
    private long _textInverted;
    private long _ends;
    private long _values;
    private long _refused;
    private string _lastRefusal = "";

    /// <summary>Bytes as they came.</summary>
    internal void Take(ReadOnlySpan<byte> bytes)
    {
        lock (_gate)
        {
            Count(bytes);
        }
    }

    /// <summary>A frame was a value.</summary>
    internal void TakeValue() => _values++;

    /// <summary>A frame was refused.</summary>
    internal void TakeRefused(string why)
    {
        _refused++;
        _lastRefusal = why;
    }

    /// <summary>What is wrong, or null when nothing is, or too little came to tell.</summary>
    /// <param name="sinceOpen">How long the line has been open.</param>
    internal string? Opinion(TimeSpan sinceOpen)
    {
        lock (_gate)
        {
            return Guess(sinceOpen);
        }
    }

    private void Count(ReadOnlySpan<byte> bytes)
    {
        foreach (byte value in bytes)
        {
            bool odd = (BitOperations.PopCount(value) & 1) != 0;
            _bytes++;
            _high += value >> 7;
            _text += One(IsText(value));
            _evenParity += One(!odd);
            _oddParity += One(odd);
            _textBelowBit8 += One(IsText((byte)(value & 0x7F)));
            _textInverted += One(IsText(InvertedLine.Recover(value)));
            _ends += One(value is (byte)'\r' or (byte)'\n');
        }
    }

    private string? Guess(TimeSpan sinceOpen)
    {
        if (_bytes == 0)
        {
            return sinceOpen < _patience
                ? null
                : "Nothing comes. Is the caliper on and its cable in? Some send only when their key is pressed or when asked. Swapped wires and an adapter without power look the same.";
        }

        if (_values > 0)
        {
            return _refused * 20 > _values + _refused
                ? $"More than one line in twenty is refused ({_lastRefusal}). A loose or long cable does that; so does a wrong parity."
                : null;
        }

        return _bytes < EnoughBytes ? null : WithoutValues();
    }

    private string WithoutValues()
    {
        if (Most(_text))
        {
            return _ends == 0
                ? "Text comes, but no line ever ends. The caliper must send CR, LF or both after each value."
                : $"Text comes, but no line is a reading: {(_lastRefusal.Length > 0 ? _lastRefusal : "only lines without a value")}.{(_lastRefusal.Contains("no unit", StringComparison.Ordinal) ? " Say which it shows with --unit, or with unit in the settings." : "")}";
        }

        if (Most(_textBelowBit8) && _high > 0)
        {
            return Most(_evenParity) ? "This looks like 7 data bits with even parity. Try a framing such as 4800-7E2 or 9600-7E1."
                : Most(_oddParity) ? "This looks like 7 data bits with odd parity. Try a framing such as 9600-7O1."
                : "This looks like text whose bit 8 means nothing. Try 7 data bits, or --mask-bit-8.";
        }

        return Most(_textInverted)
            ? "This looks like a line turned over: its levels are inverted. The adapter must invert them, or another adapter is needed."
            : "Bytes come, but no text. The baud rate or the framing is wrong: try 1200, 2400, 4800, 9600, 19200, and 7E2 or 8N1.";
    }

    private bool Most(long count) => count * 20 >= _bytes * 19;

    private static long One(bool condition) => condition ? 1 : 0;

    private static bool IsText(byte value) => value is (>= 0x20 and <= 0x7E) or (byte)'\r' or (byte)'\n';
}
