
namespace CaliperStation.Storage;

/// <summary>The journal's folder as the journal sees it; the tests put a faulty disk behind it.</summary>
/// <remarks>Every member may throw <see cref="IOException"/> or <see cref="UnauthorizedAccessException"/>; the journal turns them into words.</remarks>
internal interface IJournalFolder
{
    /// <summary>Where it is, for messages.</summary>
    string Path { get; }

    /// <summary>The names of all files in it, in no order; none when the folder does not exist.</summary>
    IReadOnlyList<string> Names();

    /// <summary>Opens a file that is there.</summary>
    IJournalFile Open(string name, bool forWriting);

    /// <summary>Makes a file that is not there yet, for its owner only, and opens it for writing.</summary>
    IJournalFile Create(string name);

    /// <summary>Makes the names in the folder durable, after a file was created.</summary>
    void FlushNames();

    /// <summary>Keeps other writers out until what it gives is disposed or this process ends; null where the system has no such hold.</summary>
    /// <exception cref="StoreException">Another process has it.</exception>
    IDisposable? Hold();
}

/// <summary>One file of the journal. Positions are bytes from the start.</summary>
internal interface IJournalFile : IDisposable
{
    /// <summary>Its length now, in bytes.</summary>
    long Length { get; }

    /// <summary>Reads up to the buffer's length; 0 at the end.</summary>
    int Read(Span<byte> buffer, long position);

    /// <summary>Writes all bytes, or throws; part of them may then be in the file.</summary>
    void Write(ReadOnlySpan<byte> bytes, long position);

    /// <summary>Cuts the file to that length.</summary>
    void Cut(long length);

    /// <summary>Returns only when everything written is on the disk.</summary>
    void Flush();
}
