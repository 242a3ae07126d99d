using System.Text;

namespace CaliperStation.Storage;

/// <summary>Looks at the journal's lines while it is opened, so that their bytes are read and proven once.</summary>
internal interface IProvenLines
{
    /// <summary>All lines follow, from the first one: the journal is looked at, or once more.</summary>
    void Begin();

    /// <summary>The next line that is proven; its parts are valid during the call.</summary>
    void Take(JournalParts line);
}

/// <summary>The parts of one line's bytes, without a copy of them.</summary>
/// <param name="number">From 1.</param>
/// <param name="at">When, UTC, to the millisecond.</param>
/// <param name="sitting">The sitting's id.</param>
/// <param name="kind">The kind of event.</param>
/// <param name="body">The event, a JSON object in UTF-8.</param>
/// <param name="bare">The line's bytes before its signature, or before its hash where it has none.</param>
/// <param name="signature">Base64; empty where there is none.</param>
/// <param name="hash">The hash the line bears, hexadecimal.</param>
internal readonly ref struct JournalParts(long number, DateTimeOffset at, ReadOnlySpan<byte> sitting, ReadOnlySpan<byte> kind, ReadOnlySpan<byte> body, ReadOnlySpan<byte> bare, ReadOnlySpan<byte> signature, ReadOnlySpan<byte> hash)
{
    public long Number { get; } = number;

    public ReadOnlySpan<byte> Kind { get; } = kind;

    public ReadOnlySpan<byte> Body { get; } = body;

    public ReadOnlySpan<byte> Bare { get; } = bare;

    public ReadOnlySpan<byte> Signature { get; } = signature;

    public ReadOnlySpan<byte> Hash { get; } = hash;

    public DateTimeOffset At { get; } = at;

    private ReadOnlySpan<byte> Sitting { get; } = sitting;

    /// <summary>The line with copies of the parts.</summary>
    public JournalLine ToLine() => new(
        Number, At, Encoding.ASCII.GetString(Sitting), Encoding.ASCII.GetString(Kind), Encoding.UTF8.GetString(Body), Encoding.ASCII.GetString(Hash));
}
