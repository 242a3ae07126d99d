using System.Numerics;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;

namespace CaliperStation.Devices;

/// <summary>What is wrong with a line, and in words.</summary>
internal sealed record LineOpinion(LineTrouble Kind, string Words);

/// <summary>Says in words what is wrong with a line, from what came over it lately. One thread uses it; times are since the line was opened.</summary>
/// <remarks>It only guesses what a person should try; it never changes a setting or a value.</remarks>
internal sealed class LineDiagnostics
{
    // Fewer bytes than a line or two say nothing sure.
    private const int EnoughBytes = 40;
    private const int MaxPieces = 64;
    private static readonly TimeSpan _patience = TimeSpan.FromSeconds(3);

    /// <summary>Only what came so lately is judged, or the last <see cref="EnoughBytes"/> of an instrument that sends at its key.</summary>
    internal static readonly TimeSpan Recent = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan _pieceTime = TimeSpan.FromMilliseconds(250);

    private readonly Piece[] _pieces = new Piece[MaxPieces];   // a ring, each of the times in which something came
    private int _newest = -1;
    private int _kept;

    /// <summary>Bytes as they came.</summary>
    internal void Take(ReadOnlySpan<byte> bytes, TimeSpan at)
    {
        if (_kept == 0 || at - _pieces[_newest].Begun >= _pieceTime)
        {
            _newest = (_newest + 1) % MaxPieces;
            _kept = Math.Min(_kept + 1, MaxPieces);
            _pieces[_newest] = new Piece { Begun = at };
        }

        _pieces[_newest].Count(bytes);
    }

    /// <summary>A frame of the bytes taken last was a value.</summary>
    internal void TakeValue() => Newest.Values++;

    /// <summary>A frame of the bytes taken last was refused.</summary>
    internal void TakeRefused(FrameReason fault, string words)
    {
        ref Piece newest = ref Newest;
        newest.Refused++;
        newest.OfDevice += One(fault is FrameReason.Device or FrameReason.Range);
        (newest.Fault, newest.Why) = (fault, words);
    }

    /// <summary>What is wrong, or null when nothing is, or too little came to tell.</summary>
    /// <param name="now">How long the line has been open.</param>
    /// <param name="isAsked">True for a caliper that speaks only when asked: its silence says nothing.</param>
    internal LineOpinion? Opinion(TimeSpan now, bool isAsked = false)
    {
        if (_kept == 0)
        {
            return isAsked || now < _patience
                ? null
                : new(LineTrouble.Silent, "Nothing comes. Is the caliper on and its cable in? Some send only when their key is pressed or when asked. Swapped wires and an adapter without power look the same.");
        }

        Piece lately = default;
        for (int back = 0; back < _kept; back++)
        {
            ref Piece one = ref _pieces[(_newest - back + MaxPieces) % MaxPieces];
            if (now - one.Begun > Recent && lately.Bytes >= EnoughBytes)
            {
                break;
            }

            lately.Add(one);
        }

        return lately.Values > 0 ? AmongValues(lately) : WithoutValues(lately);
    }

    private ref Piece Newest
    {
        get
        {
            if (_kept == 0)
            {
                (_newest, _kept) = (0, 1);
            }

            return ref _pieces[_newest];
        }
    }

    private static LineOpinion? AmongValues(in Piece lately) =>
        lately.Refused < 2 || lately.Refused * 20 <= lately.Values + lately.Refused ? null   // one bad frame is shown as such and says nothing of the line
        : lately.OfDevice * 2 > lately.Refused ? OfDevice(lately)
        : new(LineTrouble.ManyRefused, $"More than one line in twenty is refused ({lately.Why}). A loose or long cable does that; so does a wrong parity.");

    private static LineOpinion? WithoutValues(in Piece lately)
    {
        switch (lately.Fault)   // a whole line that says so is enough
        {
            case FrameReason.Device or FrameReason.Range:
                return OfDevice(lately);
            case FrameReason.NoUnit:
                return new(LineTrouble.NoUnit, $"Text comes, but no line is a reading: {lately.Why}. Say which it shows with --unit, or with unit in the settings.");
            default:
                return lately.Bytes < EnoughBytes ? null : OfBytes(lately);
        }
    }

    private static LineOpinion OfDevice(in Piece lately) =>
        new(lately.Fault == FrameReason.Range ? LineTrouble.Range : LineTrouble.Device, $"The caliper itself reports errors: {lately.Why}.");

    private static LineOpinion OfBytes(in Piece lately)
    {
        if (lately.Most(lately.Text))
        {
            return lately.Ends == 0
                ? new(LineTrouble.NoEnds, "Text comes, but no line ever ends. The caliper must send CR, LF or both after each value.")
                : new(LineTrouble.NoReading, $"Text comes, but no line is a reading: {lately.Why ?? "only lines without a value"}.");
        }

        if (lately.Most(lately.TextBelowBit8) && lately.High > 0)
        {
            return lately.Most(lately.EvenParity) ? new(LineTrouble.EvenParity, "This looks like 7 data bits with even parity. Try a framing such as 4800-7E2 or 9600-7E1.")
                : lately.Most(lately.OddParity) ? new(LineTrouble.OddParity, "This looks like 7 data bits with odd parity. Try a framing such as 9600-7O1.")
                : new(LineTrouble.EighthBit, "This looks like text whose bit 8 means nothing. Try 7 data bits, or --mask-bit-8.");
        }

        return lately.Most(lately.TextInverted)
            ? new(LineTrouble.Inverted, "This looks like a line turned over: its levels are inverted. The adapter must invert them, or another adapter is needed.")
            : new(LineTrouble.Rate, "Bytes come, but no text. The baud rate or the framing is wrong: try 1200, 2400, 4800, 9600, 19200, and 7E2 or 8N1.");
    }

    private static int One(bool condition) => condition ? 1 : 0;

    private static bool IsText(byte value) => value is (>= 0x20 and <= 0x7E) or (byte)'\r' or (byte)'\n';

    /// <summary>What came in a quarter of a second, or in several.</summary>
    private struct Piece
    {
        internal TimeSpan Begun;
        internal long Bytes;
        internal long Text;
        internal long High;
        internal long EvenParity;
        internal long OddParity;
        internal long TextBelowBit8;
        internal long TextInverted;
        internal long Ends;
        internal long Values;
        internal long Refused;
        internal long OfDevice;
        internal FrameReason? Fault;   // of the last refusal
        internal string? Why;

        internal void Count(ReadOnlySpan<byte> bytes)
        {
            foreach (byte value in bytes)
            {
                bool odd = (BitOperations.PopCount(value) & 1) != 0;
                Bytes++;
                High += value >> 7;
                Text += One(IsText(value));
                EvenParity += One(!odd);
                OddParity += One(odd);
                TextBelowBit8 += One(IsText((byte)(value & 0x7F)));
                TextInverted += One(IsText(InvertedLine.Recover(value)));
                Ends += One(value is (byte)'\r' or (byte)'\n');
            }
        }

        /// <summary>Adds an older piece: the last refusal stays the newer one's.</summary>
        internal void Add(in Piece older)
        {
            Bytes += older.Bytes;
            Text += older.Text;
            High += older.High;
            EvenParity += older.EvenParity;
            OddParity += older.OddParity;
            TextBelowBit8 += older.TextBelowBit8;
            TextInverted += older.TextInverted;
            Ends += older.Ends;
            Values += older.Values;
            Refused += older.Refused;
            OfDevice += older.OfDevice;
            (Fault, Why) = Fault is null ? (older.Fault, older.Why) : (Fault, Why);
        }

        internal readonly bool Most(long count) => count * 20 >= Bytes * 19;
    }
}
