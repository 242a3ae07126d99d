namespace CaliperStation.Storage;

/// <summary>The store cannot be read or written; the message says which file, what is wrong and what to do.</summary>
internal sealed class StoreException : Exception
{
    public StoreException(string message, Exception? inner = null) : base(message, inner)
    {
    }

    /// <summary>True when another bench is writing the store.</summary>
    public bool IsInUse { get; init; }

    /// <summary>True when nothing is wrong with the store: the place that was named is not there, or this account may not use it.</summary>
    public bool IsWrongUsage
    {
        get => field || InnerException is UnauthorizedAccessException;
        init;
    }
}
